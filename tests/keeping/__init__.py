"""Back-ups: what they hold, and what is never put in place."""
