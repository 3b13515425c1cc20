"""Reads what is handed over: a module a topic."""
