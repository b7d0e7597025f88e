"""Everything that hangs on the fin: the bulb that the plan asks for, its size and position, the list of masses and the
balance."""
