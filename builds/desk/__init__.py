"""The pages of the desk: orders, customers, messages, search, settings."""
