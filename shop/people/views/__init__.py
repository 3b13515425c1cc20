"""Pages of sign-in, of passwords, and of one's own doors."""
