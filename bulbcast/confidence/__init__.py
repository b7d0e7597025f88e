"""How sure the casting is: standard deviations to the band of its mass, what to aim for, what to drill off."""
