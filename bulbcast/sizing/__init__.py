"""From a target mass to a bulb of that mass in its place: hung-mass ledger, size and place together."""
