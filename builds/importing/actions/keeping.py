"""Brings a clean sheet in: all rows in one transaction, each by the deeds of its own room."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from builds.importing.actions.begun import TASK, end, locked, move_to, open_import
from builds.importing.actions.checking import keep_plan, put_back
from builds.importing.actions.refused import Overtaken, Refused
from builds.importing.actions.working import claim, still
from builds.importing.actions.writing import WRITERS, RowRefused
from builds.importing.models import Import, Made
from builds.importing.queries.checks import Plan, plan
from builds.importing.queries.checks.line import Trouble
from builds.importing.queries.files import content_of
from builds.importing.queries.found import same_file
from builds.importing.sheets import NotReadable, Sheet, read
from builds.importing.states import IN_THE_BOOKS, State
from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User
from shop.web.wake import wake


class AgainAsked(Refused):
    """The very same file is in the books already: asks whether it is meant twice."""


@transaction.atomic
def confirm(import_id: int, *, seen: str, again: bool, by: User, now: datetime) -> Import:
    """Have a clean sheet brought in. Confirmed twice, or by two at once, it is brought in once.

    :param again: somebody says that the same file is meant twice.
    :raises Overtaken: it is another's by now, or was changed.
    :raises AgainAsked: the same file is in the books.
    """
    House.objects.select_for_update().filter(id=1).first()  # one at a time, of all sheets
    one = locked(import_id)
    if one.state in IN_THE_BOOKS:
        _check_mine(one, by)
        return one
    one = open_import(import_id, seen)
    if not one.is_clean:
        raise Refused(_("There are problems still. Nothing is brought in before they are mended."))
    earlier = same_file(one)
    if earlier and not again:
        raise AgainAsked(_("This very file is in the books already. Say that you mean it twice."))
    one.kept_by, one.again = by, bool(earlier)
    move_to(one, State.KEEPING, now)
    wake(TASK, one.pk)
    return one


def _check_mine(one: Import, by: User) -> None:
    if one.kept_by and one.kept_by != by:
        raise Overtaken(
            _("%s was first: this sheet is brought in once, not twice.") % one.kept_by.name
        )


def keep(import_id: int, now: datetime) -> bool:
    """Bring one sheet in, whole or not at all; whether it was brought in just now.

    It is read before the transaction begins; inside, it is held once more against the shop as it
    is by then, so that nothing is written over what came meanwhile.
    """
    one = claim(import_id, State.KEEPING, now)
    if one is None:
        return False
    try:
        sheet = read(content_of(one), one.reading)
    except NotReadable as error:
        put_back(one, str(error), now)
        return False
    try:
        return _write_all(one, sheet, now)
    except _Meanwhile as error:
        keep_plan(one, sheet, error.plan, now)
        return False


class _Meanwhile(Exception):
    """The shop has changed since the dry run; carries what is wrong now."""

    def __init__(self, made: Plan) -> None:
        self.plan = made
        super().__init__()


@transaction.atomic
def _write_all(one: Import, sheet: Sheet, now: datetime) -> bool:
    House.objects.select_for_update().filter(id=1).first()
    mine = still(one)
    if mine is None or mine.kept_by is None:
        return False
    one, by = mine, mine.kept_by
    made = plan(one, sheet, now)
    if made.stops:
        raise _Meanwhile(made)
    _write(one, made, by, now)
    one.kept_at, one.rows, one.rows_done = now, len(sheet.rows), len(sheet.rows)
    one.new, one.found, one.changed = made.new, made.found, made.changed
    record("sheet_kept", one.about, by, now, rows=len(sheet.rows))
    end(one, State.KEPT, now)
    return True


def _write(one: Import, made: Plan, by: User, now: datetime) -> None:
    writer = WRITERS[one.kind](one.token, by, now)
    kept: list[tuple[int, Any]] = []
    for wish in made.wishes:
        if wish.found is not None and not wish.changes:
            continue
        try:
            kept.extend((wish.row, thing) for thing in writer.write(wish))
        except RowRefused as error:
            made.troubles.append(Trouble(wish.row, None, "", "", str(error)[:400]))
            raise _Meanwhile(made) from error
    rows = (
        Made(of=one, row=row, how=thing.how, about=thing.about, before=thing.before)
        for row, thing in kept
    )
    Made.objects.bulk_create(rows, batch_size=500)
