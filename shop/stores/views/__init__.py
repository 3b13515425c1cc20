"""The pages of the stores, one module a topic."""
