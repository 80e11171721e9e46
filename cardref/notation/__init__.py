"""What is written on a card, read into values that need no dataset."""
