"""The ballast: weight list, target, trim and reach; the bulb solved together with the boat."""
