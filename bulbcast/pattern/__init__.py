"""The pattern: cast body, allowances, stations, templates and the turning table."""
