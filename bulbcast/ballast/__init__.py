"""Ballast: weight list, target, trim and reach, with the bulb solved together with the boat."""
