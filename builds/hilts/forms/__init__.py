"""Forms of the hilt's page and of its steps."""
