"""The pages of the fitting room, one module a topic."""
