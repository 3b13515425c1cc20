"""The one row of shop settings."""
