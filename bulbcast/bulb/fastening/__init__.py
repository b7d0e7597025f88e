"""The bulb's fastening: the lead and fin left round the pocket, screws, pins and studs, and the limits for them."""
