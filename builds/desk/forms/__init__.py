"""Forms of the desk, one module a topic."""
