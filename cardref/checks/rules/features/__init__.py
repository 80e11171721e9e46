"""Rules about the catalogue of features and their states."""
