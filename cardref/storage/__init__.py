"""Files on disk to records in memory and back: reading, positions, layout, structure, writing."""
