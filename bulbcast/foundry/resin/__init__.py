"""Lead shot in resin, for a bulb made without melting."""
