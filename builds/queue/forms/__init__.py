"""Forms of the pages of dates."""
