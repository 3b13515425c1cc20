"""Writes down what a board wants of its card."""

from datetime import datetime
from typing import Any

from django.db import transaction

from builds.sounds.models import CardProfile
from builds.sounds.refusals import Overtaken
from shop.history.actions import record
from shop.people.models import User
from shop.stores.models import Part

FIELDS = (
    "rate_hz", "bits", "channels", "longest_name", "letters", "ending", "card_mib", "cluster_kib",
)  # fmt: skip


def seen_wish(profile: CardProfile | None) -> str:
    """What a form carries of the wish as it was shown."""
    return "|".join(str(getattr(profile, name)) for name in FIELDS) if profile else ""


@transaction.atomic
def write_wish(
    board_id: int, values: dict[str, Any], *, seen: str, by: User, now: datetime
) -> None:
    """Write a board's wish down, or anew. What is so already stays.

    :raises Overtaken: another tablet wrote it meanwhile.
    """
    board = Part.objects.select_for_update().get(pk=board_id)
    held = CardProfile.objects.filter(part=board).first()
    if held and all(getattr(held, name) == values[name] for name in FIELDS):
        return
    if seen_wish(held) != seen:
        raise Overtaken(board.about)
    known = {name: values[name] for name in FIELDS}
    CardProfile.objects.update_or_create(part=board, defaults=known)
    record(
        "card_wished", board.about, by, now,
        rate=values["rate_hz"], bits=values["bits"], channels=values["channels"],
    )  # fmt: skip
