"""The pages of the bench, one module a page."""
