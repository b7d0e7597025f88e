"""Pure geometry: profiles, the turned body and its integrals, facets, cuts. SI, bulb axes."""
