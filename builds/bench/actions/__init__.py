"""The composed deeds of the bench, one module a page."""
