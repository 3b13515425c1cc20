"""The customer's private page."""
