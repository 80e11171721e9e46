"""Whether what is referred to is there."""
