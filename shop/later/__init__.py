"""Deeds that a browser kept while the shop did not answer, and sends when it does."""
