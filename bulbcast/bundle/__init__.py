"""The bundle: what is written to disk, whole or not at all, and read back."""
