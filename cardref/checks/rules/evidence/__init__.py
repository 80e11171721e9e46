"""Whether statements say what they stand on."""
