"""Behaviour of the boat under sail: righting arms, heel and leeway in a wind, for the boat as planned, for other sizes
of the boat, and with a deeper or heavier bulb.
"""
