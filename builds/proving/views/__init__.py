"""The pages of the bench test: a build's sheet, the shop's sheet, the first-pass rate."""
