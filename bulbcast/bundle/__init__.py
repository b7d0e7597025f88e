"""The bundle: files that are read back and written to disk all together or not at all."""
