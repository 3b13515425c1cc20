"""A customer's own data: what is held, handed out and forgotten."""
