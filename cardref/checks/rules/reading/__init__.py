"""Whether the files can be read, and read alike by everybody."""
