"""Cuts in the lead: true intersections of pocket, screws, pins and studs, and the solids with these cut out."""
