"""Simulation of a casting as it freezes and cools: conduction with latent heat, feed paths and Chvorinov's rule.

scipy is loaded by `solver` and `feed_path` inside the functions that use it, so a plan that asks for no cooling never
has to load it.
"""
