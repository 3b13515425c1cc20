"""Reads what is held of a customer, and what stands against forgetting them."""
