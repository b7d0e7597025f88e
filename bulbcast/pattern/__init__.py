"""The pattern: cast body, allowances, stations, templates, turning table."""
