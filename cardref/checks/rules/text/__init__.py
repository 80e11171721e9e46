"""Whether text is written so that equal things look equal."""
