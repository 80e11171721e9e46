"""Whether records have the fields of their kind, rightly written."""
