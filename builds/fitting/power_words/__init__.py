"""The power of a build in words: numbers, findings, what is missing, how a figure came about."""
