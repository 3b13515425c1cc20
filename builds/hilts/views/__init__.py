"""The pages of a hilt: its measures, its steps of taking apart."""
