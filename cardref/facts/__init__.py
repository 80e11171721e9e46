"""What follows from the records: answers of yes, no or unknown, with the records and sources they stand on."""
