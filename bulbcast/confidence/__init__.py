"""Confidence in the casting: from standard deviations to the mass band, the aim and the drilling."""
