"""A new dataset for a line: a few records that pass the checks, with comments that teach by example."""
