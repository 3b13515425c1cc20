"""Hilts: what is known of each, kept from build to build."""
