"""Reads of importing: the lists and pages, and the dry run, which writes nothing."""
