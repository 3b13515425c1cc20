"""What the pages of the desk read, one module a topic."""
