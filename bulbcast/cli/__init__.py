"""The command line, one file a command; nothing is computed here."""
