"""The sums of the bench: pure functions over frozen values, from the standard library alone."""
