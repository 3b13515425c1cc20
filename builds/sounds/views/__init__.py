"""The pages of slots, sound sets and cards."""
