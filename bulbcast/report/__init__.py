"""The report: one HTML file and the terminal's text, both read from the same Job. Nothing is computed here."""
