"""Lead shot in resin, the way without melting."""
