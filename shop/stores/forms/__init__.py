"""The forms of the stores, one module a topic."""
