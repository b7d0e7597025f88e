"""How files are read and written safely: bounded, one writer at a time, whole or not at all."""
