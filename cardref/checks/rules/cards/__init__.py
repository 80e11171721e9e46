"""Rules about which face stands on which back, by whom and where."""
