"""What follows from the records: answers of yes, no or unknown, with their grounds."""
