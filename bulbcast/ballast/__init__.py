"""Ballast: weight list, target, trim and reach, with bulb and boat solved together."""
