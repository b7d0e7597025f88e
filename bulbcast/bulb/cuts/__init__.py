"""Cuts in the lead: the true intersections of the pocket, screws, pins and studs with the lead, and the solids that
are subtracted to make these cuts."""
