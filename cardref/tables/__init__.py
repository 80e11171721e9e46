"""The dataset as CSV for a spreadsheet, and back: one table a kind, the smallest edit of the YAML."""
