"""Safe reading and writing of files: limited in size, one writer at a time, completely or not at all."""
