"""Everything that hangs on the fin: the plan's request, the bulb's size and position, the list of masses and the balance."""
