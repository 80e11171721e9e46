"""What a change of a dataset means: which records changed how, what follows from it, what to tell users."""
