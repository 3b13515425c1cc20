"""Reads for the pages of the bench, one module a page."""
