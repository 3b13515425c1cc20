"""The forms of the hand-over."""
