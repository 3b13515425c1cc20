"""Forms of importing: the file, how it is read, which column is which."""
