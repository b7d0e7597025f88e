"""The melt: scrap, charge, pot and burner."""
