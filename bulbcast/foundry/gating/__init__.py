"""The way in and the way out of the metal."""
