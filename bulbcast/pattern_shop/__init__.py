"""The pattern shop: parting, pieces, printer's bed, core boxes, and the frame round a half pattern."""
