"""A pattern in pieces: partings and joints, dowels, cores with their prints, the pieces as solids, and their draw."""
