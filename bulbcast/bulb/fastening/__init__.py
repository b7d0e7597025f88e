"""How the bulb is held: the lead and fin left round pocket, screws, pins and studs, and how much must be left."""
