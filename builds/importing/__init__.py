"""A workshop brings its own spreadsheet: read, matched by hand, tried out, kept whole, undone."""
