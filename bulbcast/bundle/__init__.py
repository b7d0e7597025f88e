"""The bundle: files written to disk all together or not at all, and read back."""
