"""The pour: its temperature, and the pour card."""
