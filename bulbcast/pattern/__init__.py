"""The pattern: cast body, allowances, stations, templates and turning table."""
