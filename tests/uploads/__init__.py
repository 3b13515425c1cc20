"""Uploads that were damaged by a seed, through the doors that the pages use."""
