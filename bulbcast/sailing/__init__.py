"""Behaviour of the boat under sail: righting arms, wind, leeway, other sizes, and a deeper or heavier bulb."""
