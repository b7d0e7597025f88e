"""The boat and what the water does to her."""
