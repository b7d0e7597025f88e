"""Confidence in the casting: from standard deviations to the band of its mass, the aim, and the drilling."""
