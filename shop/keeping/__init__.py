"""Keeps a second copy of the shop: back-up to one file, and the way back."""
