"""What a reference cannot tell, and what to record next."""
