"""The dry run: checks every row and keeps what it found. Nothing of the sheet is brought in."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.importing.actions.begun import move_to
from builds.importing.actions.working import claim, still
from builds.importing.models import Finding, Import
from builds.importing.queries.checks import Plan, plan
from builds.importing.queries.checks.line import Trouble
from builds.importing.queries.files import content_of
from builds.importing.sheets import NotReadable, Sheet, read
from builds.importing.states import AT_ONCE, Kind, State

MOST_FINDINGS = 5_000  # kept; more than that is one mistake, made in every row


def check(import_id: int, now: datetime) -> bool:
    """Check one sheet; whether it was checked just now."""
    one = claim(import_id, State.CHECKING, now)
    if one is None:
        return False
    try:
        sheet = read(content_of(one), one.reading)
        _check_many(one, sheet)
    except NotReadable as error:
        put_back(one, str(error), now)
        return False
    Import.objects.filter(pk=one.pk).update(rows=len(sheet.rows))
    made = plan(one, sheet, now, tick=lambda done: _show(one, done))
    keep_plan(one, sheet, made, now)
    return True


def _show(one: Import, done: int) -> None:
    """Let the page see how far the check is."""
    Import.objects.filter(pk=one.pk, claimed_at=one.claimed_at).update(rows_done=done)


def _check_many(one: Import, sheet: Sheet) -> None:
    most = AT_ONCE[Kind(one.kind)]
    if not sheet.rows:
        raise NotReadable(_("There is no row below the headings."))
    if len(sheet.rows) > most:
        raise NotReadable(
            _("These are %(many)s rows, and of %(kind)s at most %(most)s are brought in at once.")
            % {"many": f"{len(sheet.rows):,}", "kind": one.get_kind_display(), "most": f"{most:,}"}
        )


@transaction.atomic
def put_back(one: Import, why: str, now: datetime) -> None:
    """Back to the matching, with the sentence that says why."""
    mine = still(one)
    if mine:
        mine.problem = why[:300]
        move_to(mine, State.MATCHING, now)


@transaction.atomic
def keep_plan(one: Import, sheet: Sheet, made: Plan, now: datetime) -> None:
    """Keep what a dry run found and counted, unless the import was given up meanwhile."""
    mine = still(one)
    if mine is None:
        return
    mine.headers = list(sheet.headers)
    mine.rows = mine.rows_done = len(sheet.rows)
    mine.stops, mine.new, mine.found, mine.changed = made.stops, made.new, made.found, made.changed
    mine.problem = ""
    keep_troubles(mine, made.troubles)
    move_to(mine, State.CHECKED, now)


def keep_troubles(one: Import, troubles: Sequence[Trouble]) -> None:
    """Put what was found now in the place of what was found before; problems first."""
    one.findings.all().delete()
    first = sorted(troubles, key=lambda each: not each.stops)[:MOST_FINDINGS]
    rows = (
        Finding(
            of=one,
            stops=each.stops,
            row=each.row,
            column=each.column,
            field=each.field,
            value=each.value,
            sentence=each.sentence,
        )
        for each in first
    )
    # Our own list, not the shop's data: there is no rule to go past.
    Finding.objects.bulk_create(rows, batch_size=500)
