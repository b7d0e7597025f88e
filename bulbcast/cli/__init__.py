"""The command line, with one file for each command. Nothing is computed here."""
