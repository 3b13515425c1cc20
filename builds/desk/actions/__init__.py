"""Deeds of the desk that no room below can do alone, one module a topic."""
