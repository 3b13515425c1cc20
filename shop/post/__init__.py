"""Wording, the outbox, delivery, and private links."""
