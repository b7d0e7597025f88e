"""Everything read from disk: plan files, tables and hulls, and the records kept beside a plan."""
