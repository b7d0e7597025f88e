"""Simulation of a casting as it freezes and cools: conduction with latent heat, feed paths and Chvorinov's rule.

scipy is loaded by `solver` and `keeping` inside the functions that use it, so a plan without a cooling simulation
never has to load it.
"""
