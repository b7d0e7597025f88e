"""The bulb: profile, turned body, cuts, hung-mass ledger, size and place under the fin."""
