"""Lead shot in resin: a bulb without melting."""
