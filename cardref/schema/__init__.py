"""The model as JSON Schema (draft 2020-12), and what it says about a record that does not fit."""
