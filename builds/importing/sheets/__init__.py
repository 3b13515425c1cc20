"""Reads spreadsheets, pure: bytes in, rows out; trusts the content and never the name."""

from builds.importing.sheets.reading import Look, look, read, top
from builds.importing.sheets.refused import NotReadable
from builds.importing.sheets.rows import Row, Sheet, Value, is_blank, letter, text_of
from builds.importing.states import Reading

__all__ = [
    "Look", "NotReadable", "Reading", "Row", "Sheet", "Value", "is_blank", "letter", "look",
    "read", "text_of", "top",
]  # fmt: skip
