"""Pages of importing."""
