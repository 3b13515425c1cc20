"""The shop's bench test sheet: filled once from the usual one, and the shop's own from then on."""

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from builds.proving.models import Instrument, SheetLine
from builds.proving.refusals import Refused
from builds.proving.states import Mark
from builds.proving.typical import LINES, Typical
from shop.history.actions import record
from shop.people.models import User

ABOUT = "proof-sheet"
# What anybody may change of a line that nobody may pass: its words, never its limit.
WORDS = ("name", "how", "caution")


@transaction.atomic
def fill_sheet(*, by: User, now: datetime) -> int:
    """Give a shop without a sheet the usual one. One that has lines keeps them.

    :returns: how many lines were written.
    """
    if SheetLine.objects.exists():
        return 0
    rows = [_row(line, place) for place, line in enumerate(LINES, start=1)]
    SheetLine.objects.bulk_create(rows, ignore_conflicts=True)
    record("proof_sheet_filled", ABOUT, by, now, count=len(rows))
    return len(rows)


def _row(line: Typical, place: int) -> SheetLine:
    words = {name: _(value) if (value := getattr(line, name)) else "" for name in WORDS}
    return SheetLine(**{**asdict(line), **words, "position": place})


@transaction.atomic
def add_line(values: Mapping[str, Any], *, by: User, now: datetime) -> SheetLine:
    """Put one more test on the sheet, after the others; its limits are the shop's own."""
    last = SheetLine.objects.order_by("-position").first()
    line = SheetLine.objects.create(
        **values,
        code=_free_code(values["name"]),
        position=last.position + 1 if last else 1,
        mark=Mark.SHOP,
    )
    record("proof_line_added", ABOUT, by, now, test=line.name)
    return line


def _free_code(name: str) -> str:
    stem = slugify(name)[:24] or "test"
    taken = set(SheetLine.objects.filter(code__startswith=stem).values_list("code", flat=True))
    numbered = (f"{stem}-{n}" for n in range(2, len(taken) + 3))
    return stem if stem not in taken else next(code for code in numbered if code not in taken)


@transaction.atomic
def change_line(line_id: int, values: Mapping[str, Any], *, by: User, now: datetime) -> SheetLine:
    """Change a test; a run that has begun keeps its own. A limit that was changed is the shop's.

    Of a test that nobody may pass only the words change: its limit keeps hands and houses whole.
    """
    line = SheetLine.objects.select_for_update().get(pk=line_id)
    if line.never_pass:
        values = {name: values[name] for name in WORDS if name in values}
    limits = ("low", "high", "high_told", "times", "minutes", "unit")
    if any(name in values and values[name] != getattr(line, name) for name in limits):
        line.mark = Mark.SHOP
    for name, value in values.items():
        setattr(line, name, value)
    line.save()
    record("proof_line_changed", ABOUT, by, now, test=line.name)
    return line


@transaction.atomic
def retire_line(line_id: int, is_retired: bool, *, by: User, now: datetime) -> SheetLine:
    """Ask a test no more, or again.

    :raises Refused: nobody may pass it, or another test waits for it.
    """
    line = SheetLine.objects.select_for_update().get(pk=line_id)
    if line.retired == is_retired:
        return line
    if is_retired:
        _ask_can_go(line)
    line.retired = is_retired
    line.save(update_fields=["retired"])
    verb = "proof_line_retired" if is_retired else "proof_line_back"
    record(verb, ABOUT, by, now, test=line.name)
    return line


def _ask_can_go(line: SheetLine) -> None:
    if line.never_pass:
        raise Refused(_("%s stays on the sheet: nobody can pass it.") % line.name)
    waits = SheetLine.objects.filter(only_after=line.code, retired=False).first()
    if waits:
        facts = {"other": waits.name, "name": line.name}
        raise Refused(_("%(other)s is tried only after %(name)s. Change that first.") % facts)


@transaction.atomic
def move_line(line_id: int, is_up: bool, *, by: User, now: datetime) -> None:
    """Change places with the neighbour; at an end nothing happens."""
    rows = list(SheetLine.objects.select_for_update().filter(retired=False))
    place = next((index for index, row in enumerate(rows) if row.pk == line_id), -1)
    other = place - 1 if is_up else place + 1
    if place < 0 or not 0 <= other < len(rows):
        return
    rows[place], rows[other] = rows[other], rows[place]
    for position, row in enumerate(rows, start=1):
        row.position = position
    SheetLine.objects.bulk_update(rows, ["position"])
    record("proof_line_moved", ABOUT, by, now, test=rows[other].name)


@transaction.atomic
def add_instrument(
    name: str, *, by: User, now: datetime, checked_on: date | None = None
) -> Instrument:
    """Name something that readings are taken with. One of that name is used again.

    :param checked_on: the day on which it was last checked; None leaves what is known.
    """
    name = " ".join(name.split())[:60]
    if not name:
        raise Refused(_("Name the instrument."))
    found, is_new = Instrument.objects.get_or_create(name=name)
    if is_new or found.retired:
        found.retired = False
        found.save(update_fields=["retired"])
        record("instrument_added", ABOUT, by, now, name=name)
    if checked_on and checked_on != found.checked_on:
        found.checked_on = checked_on
        found.save(update_fields=["checked_on"])
        record("instrument_checked", ABOUT, by, now, name=name, day=checked_on.isoformat())
    return found


@transaction.atomic
def retire_instrument(instrument_id: int, *, by: User, now: datetime) -> None:
    """Offer an instrument no more; readings keep it."""
    found = Instrument.objects.select_for_update().get(pk=instrument_id)
    if not found.retired:
        found.retired = True
        found.save(update_fields=["retired"])
        record("instrument_retired", ABOUT, by, now, name=found.name)
