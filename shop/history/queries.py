"""Reads history."""

from uuid import UUID

from shop.history.models import Entry


def made_once(token: UUID) -> str:
    """What a form with this token made before, as ``build:142``; empty when it is new."""
    entry = Entry.objects.filter(about=f"once:{token}", verb="once").first()
    return str(entry.parameters["made"]) if entry else ""
