"""The pour: its temperature and its card."""
