"""The checker: rules as modules with data, and the runner that asks them."""
