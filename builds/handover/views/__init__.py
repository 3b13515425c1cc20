"""The pages of the hand-over."""
