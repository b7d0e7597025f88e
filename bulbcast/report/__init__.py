"""The report as a single HTML file and as terminal text, both made from the same Job. Nothing is calculated here."""
