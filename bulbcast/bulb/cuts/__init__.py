"""What is cut from the lead: pocket, screws, pins and studs as true intersections, and the solids cut with them."""
