"""Frame round a half pattern: sizes, boards, keys and formers, as solids and drawings."""
