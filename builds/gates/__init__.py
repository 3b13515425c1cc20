"""The conditions between stages, and the deeds that pass them."""
