"""The foundry: mould, drying, gating, melt, pour, cooling, and a bulb made without melting."""
