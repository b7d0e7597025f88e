"""Pour: its temperature and the pour card."""
