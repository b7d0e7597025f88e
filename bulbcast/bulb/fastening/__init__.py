"""The bulb's fastening: the lead and fin left round pocket, screws, pins and studs, and how much is required."""
