"""Forms of slots, sound sets and cards."""
