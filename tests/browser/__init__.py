"""The whole job in a real browser, against a shop started as its owner starts it."""
