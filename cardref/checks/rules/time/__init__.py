"""Rules about when things were made, sold and seen."""
