"""A customer's own data: as a file, and forgotten."""
