"""Reads feeds and what stands in them."""
