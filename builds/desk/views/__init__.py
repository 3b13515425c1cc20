"""The desk's pages, one module a topic."""
