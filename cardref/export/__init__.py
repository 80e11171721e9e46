"""A reference for other tools: one relational view, written as SQLite or a data package, and plain JSON."""
