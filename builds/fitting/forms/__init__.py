"""The forms of the fitting room, one module a topic."""
