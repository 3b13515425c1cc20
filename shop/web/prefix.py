"""Finds rows by how a case-folded column begins."""

import unicodedata

from django.db import connection
from django.db.models import Q


def plain(text: str) -> str:
    """A text without case and accents: Élodie is found by elodie, and stands among the E."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def begins(column: str, text: str) -> Q:
    """Rows whose case-folded column begins with a text, by its index.

    SQLite uses a plain index for a range, not for LIKE; PostgreSQL has an index for LIKE, and
    its range follows the language's order, where a prefix is none.
    """
    folded = text.replace("\x00", "").strip().casefold()
    if connection.vendor == "sqlite":
        return Q(**{f"{column}__gte": folded, f"{column}__lt": folded + "\U0010ffff"})
    return Q(**{f"{column}__startswith": folded})
