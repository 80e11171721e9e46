"""Rules about the codes, product numbers and barcodes on faces."""
