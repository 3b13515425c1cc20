"""Taking hilts apart."""
