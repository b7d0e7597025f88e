"""The pattern shop: parting, pieces, bed, core boxes, and the frame round a half pattern."""
