"""The melt: scrap, charge, pot, burner."""
