"""The frame round a half pattern: sizes, boards, keys, formers, as solids and drawn."""
