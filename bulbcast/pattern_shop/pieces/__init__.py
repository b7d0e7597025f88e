"""A pattern in pieces: where it parts and is cut, dowels, cores with their prints, the pieces as solids, their draw."""
