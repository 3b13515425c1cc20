"""The desk's forms, one module a topic."""
