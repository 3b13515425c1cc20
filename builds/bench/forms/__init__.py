"""The forms of the bench, one module a page."""
