"""The bulb that the plan asks for and everything else that hangs on the fin: size, position, list of masses and
balance."""
