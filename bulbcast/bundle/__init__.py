"""The bundle: files that are made and read back first, then written to disk all together or not at all."""
