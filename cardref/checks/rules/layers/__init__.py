"""How a dataset goes together with the one that it lies over."""
