"""How the casting cools and freezes in its mould: conduction with latent heat, feed paths, Chvorinov's rule.

scipy is loaded by `solver` and `feed_path` inside the functions that use it, so that a plan which asks for no
cooling never pays for it.
"""
