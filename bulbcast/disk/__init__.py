"""Safe reading and writing of files: limited in size, one writer at a time, whole or not at all."""
