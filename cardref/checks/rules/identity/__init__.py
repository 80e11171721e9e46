"""Whether things that differ can be told apart by what they are called."""
