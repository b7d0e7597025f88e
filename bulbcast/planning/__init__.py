"""From the plan's sections to what the rooms below ask for: alloy, profile, wish, boat, defaults."""
