"""The lead body: profiles, the turned body, its integrals, attitude, facets and parallel surfaces."""
