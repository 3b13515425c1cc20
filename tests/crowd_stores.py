"""Stores that have filled for years: parts, what is stated of them, a ledger, in bulk."""

from datetime import datetime
from itertools import count
from uuid import uuid4

from shop.house.models import Counter
from shop.models import User
from shop.stores.kinds import PartKind
from shop.stores.models import (
    Kit,
    KitHours,
    KitLine,
    Part,
    Rating,
    Reservation,
    StockLevel,
    StockRow,
)
from tests.makers import SPECS_OF

_names = count(1)
KINDS = (PartKind.SPEAKER, PartKind.CELL, PartKind.WIRE)


def many_parts(many: int, by: User, now: datetime) -> None:
    """So many parts of three kinds, some of each reserved, one of three with none free."""
    counter, _ = Counter.objects.get_or_create(series="parts")
    Counter.objects.filter(pk=counter.pk).update(last=counter.last + many)
    parts = Part.objects.bulk_create(
        Part(
            number=counter.last + place + 1,
            kind=KINDS[place % 3],
            name=f"part {next(_names)}",
            name_folded=f"part {place}",
            spec=SPECS_OF[KINDS[place % 3]],
            since=now,
        )
        for place in range(many)
    )
    StockLevel.objects.bulk_create(
        StockLevel(part=part, on_hand=place % 3, reserved=place % 3 and 1)
        for place, part in enumerate(parts)
    )
    cells = [part for part in parts if part.kind == PartKind.CELL]
    Rating.objects.bulk_create(
        Rating(part=part, quantity="capacity_mah", value=value, source="data sheet", by=by, at=now)
        for part in cells
        for value in (2500, 3000)
    )


def much_done(part: Part, many: int, by: User, now: datetime) -> None:
    """So many rows of one part's ledger, and as many reservations that are open."""
    held = Reservation.objects.bulk_create(
        Reservation(
            token=uuid4(), part=part, quantity=1, about=f"build:{place}",
            whose=f"{place:04d} Copperfen", at=now, by=by,
        )
        for place in range(many)
    )  # fmt: skip
    StockRow.objects.bulk_create(
        StockRow(
            token=uuid4(), part=part, deed="reserved", reserved_change=1, reservation=each,
            about=each.about, whose=each.whose, by=by, at=now,
        )
        for each in held
    )  # fmt: skip


def many_kits(many: int, part: Part) -> None:
    """So many kits, each with one part and an hour."""
    kits = Kit.objects.bulk_create(Kit(name=f"kit {next(_names)}") for _kit in range(many))
    KitLine.objects.bulk_create(KitLine(kit=kit, part=part) for kit in kits)
    KitHours.objects.bulk_create(KitHours(kit=kit, stage="install", minutes=60) for kit in kits)
