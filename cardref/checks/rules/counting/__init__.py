"""Rules about what backs picture and how many."""
