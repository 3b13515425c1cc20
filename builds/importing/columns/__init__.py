"""What each kind of sheet may hold: fields with their words, and which column each may be."""

from builds.importing.columns.examples import example
from builds.importing.columns.fields import Field, Group, fields, groups
from builds.importing.columns.guess import guess, header_key, simple, unit_in

__all__ = [
    "Field", "Group", "example", "fields", "groups", "guess", "header_key", "simple", "unit_in",
]  # fmt: skip
