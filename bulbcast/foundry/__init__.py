"""The foundry: mould and drying, gating, melt, pour, cooling, and the way without melting."""
