"""Before buying: whether a claimed card agrees with itself and the reference, and in what state it is."""
