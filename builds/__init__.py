"""The work on each hilt."""
