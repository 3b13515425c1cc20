"""Staff who sign in, and customers who do not."""
