"""Whether accepted findings are accepted for a reason that still holds."""
