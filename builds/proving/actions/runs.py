"""Begins a go through the sheet: the lines that the build asks for, with their limits."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.actions import start
from builds.progress.models import Build
from builds.progress.states import State
from builds.proving.actions.held import in_test
from builds.proving.actions.sheet import fill_sheet
from builds.proving.models import Run, RunLine, SheetLine, Timer
from builds.proving.queries.contents import Contents, contents, sheet_of
from builds.proving.queries.reckoned import bounds
from builds.proving.queries.standing import newest_runs
from builds.proving.refusals import Refused
from builds.proving.states import Sheet
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import User
from shop.web.reading import keeping


@transaction.atomic
def begin_run(
    build_id: int, *, seen: int, token: UUID, by: User, now: datetime, sheet: str = ""
) -> Run:
    """Begin the sheet of a build, or begin it anew: the newest run counts.

    Whoever begins it works on it: the stage starts with it, where it still waited.

    :param seen: the number of the newest run that the page showed, 0 for none.
    :param sheet: how much of it is asked; empty for what its kind of job asks.
    :raises Refused: the build is not in test, or somebody began another run first.
    """
    build = in_test(build_id)
    if done := Run.objects.filter(token=token).first():
        return done
    newest = newest_runs([build.pk]).get(build.pk)
    if (newest.number if newest else 0) != seen:
        raise Refused(_said_first(newest))
    start(build.pk, expected=State.TEST, by=by, now=now)
    fill_sheet(by=by, now=now)
    # A timer that still runs belongs to the run before.
    Timer.objects.filter(build=build, stopped_at=None).update(stopped_at=now)
    run = Run.objects.create(
        token=token, build=build, number=seen + 1, sheet=sheet or sheet_of(build),
        begun_at=now, begun_by=by,
    )  # fmt: skip
    _write_lines(run, build)
    record("proof_begun", build.about, by, now, run=run.number)
    return run


def _said_first(newest: Run | None) -> str:
    if newest is None:
        return _("That page was out of date. Here is how things stand.")
    facts = {"who": newest.begun_by.name, "n": newest.number}
    return _("%(who)s was first and began run %(n)s.") % facts


def _write_lines(run: Run, build: Build) -> None:
    with keeping():
        known = contents(build, house())
        asked = [line for line in _on(run.sheet) if known.asks(line.wants)]
        RunLine.objects.bulk_create([_line(run, line, known) for line in asked])


def _on(sheet: str) -> list[SheetLine]:
    lines = SheetLine.objects.filter(retired=False)
    if sheet == Sheet.SHORT:
        lines = lines.filter(in_short=True)
    elif sheet == Sheet.BLADE:
        lines = lines.filter(in_blade=True)
    return list(lines)


def _line(run: Run, line: SheetLine, known: Contents) -> RunLine:
    limits = bounds(line, known)
    return RunLine(
        run=run,
        code=line.code,
        position=line.position,
        name=line.name,
        how=line.how,
        caution=line.caution,
        read=line.read,
        unit=limits.unit,
        low=limits.low,
        high=limits.high,
        high_told=limits.high_told,
        times=limits.times,
        minutes=line.minutes,
        mark=limits.mark,
        because=limits.because[:300],
        only_after=line.only_after,
        never_pass=line.never_pass,
    )
