"""The bulb: its profile, turned body, cuts, list of hung masses, size and position under the fin."""
