"""The command line, with one file for each command. No calculation is done here."""
