"""The pages of dates."""
