"""From a text typed off a card to what it means: package codes, designations, barcodes."""
