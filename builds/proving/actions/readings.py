"""Keeps readings. The tool says what they mean; a fail is never overwritten."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.proving.actions.held import in_test, present
from builds.proving.models import Reading, Rework
from builds.proving.queries.standing import Standing, Stands
from builds.proving.refusals import LinesRefused
from builds.proving.states import Read, Verdict
from builds.proving.values import Typed, judged
from shop.history.actions import record
from shop.people.models import User


@dataclass(frozen=True)
class Entry:
    """One reading as somebody gives it: a figure, or whether it was right.

    ``seen`` is the newest reading that the page showed, 0 for none.
    """

    line: int
    figure: Typed | None = None
    is_right: bool = True
    instrument: int | None = None
    seen: int = 0


@dataclass(frozen=True)
class Kept:
    """What was kept, and what somebody else had read before, of the same lines."""

    readings: tuple[Reading, ...]
    before: tuple[Reading, ...] = ()

    @property
    def failed(self) -> list[Reading]:
        """Those that failed."""
        return [each for each in self.readings if each.verdict == Verdict.FAIL]


@transaction.atomic
def keep_readings(
    build_id: int, run_id: int, entries: Sequence[Entry], *, token: UUID, by: User, now: datetime
) -> Kept:
    """Keep readings of a run, in the order of its sheet; all of them or none.

    A second reading of a line, from another tablet, is one more row.

    :raises LinesRefused: a line waits for another to pass, or a failed one for its rework.
    :raises Refused: the build is not in test, or another run was begun.
    """
    build = in_test(build_id)
    now_stands = present(build, run_id)
    given = {entry.line: entry for entry in entries}
    tokens = {pk: uuid5(token, str(pk)) for pk in given}
    if repeat := list(Reading.objects.filter(token__in=tokens.values()).select_related("line")):
        return Kept(tuple(repeat))
    made, before, errors = _write(now_stands, given, tokens, by, now)
    if errors:
        raise LinesRefused(errors)
    fails = sum(reading.verdict == Verdict.FAIL for reading in made)
    if made:
        facts = {"run": now_stands.run.number, "count": len(made), "fails": fails}
        record("proof_read", build.about, by, now, **facts)
    return Kept(tuple(made), tuple(before))


def _write(
    found: Standing, given: Mapping[int, Entry], tokens: Mapping[int, UUID], by: User, now: datetime
) -> tuple[list[Reading], list[Reading], dict[int, str]]:
    made: list[Reading] = []
    before: list[Reading] = []
    errors: dict[int, str] = {}
    for each in found.lines:
        entry = given.get(each.line.pk)
        if entry is None:
            continue
        newest = each.newest
        if newest and newest.pk != entry.seen:
            before.append(newest)
        if why := _why_not(found, each, newest and newest.pk != entry.seen):
            errors[each.line.pk] = why
            continue
        made.append(_reading(each, entry, tokens[each.line.pk], by, now))
        found = _with(found, each, made[-1])
    return made, before, errors


def _with(found: Standing, read: Stands, reading: Reading) -> Standing:
    """The run with one more reading: what follows on the sheet may wait for it."""
    now_read = replace(read, readings=(reading, *read.readings))
    lines = tuple(now_read if each is read else each for each in found.lines)
    return replace(found, lines=lines)


def _why_not(found: Standing, each: Stands, is_late: object) -> str:
    if first := found.waits_for(each.line):
        return _("Only after “%s” has passed in this run.") % first.line.name
    if each.asks_rework and each.newest:
        facts = {"who": each.newest.by.name, "typed": each.newest.as_typed}
        if is_late:
            return _("%(who)s read it first, %(typed)s, and it failed.") % facts
        return _("It failed. Say first what was done about it.")
    if each.line.read == Read.TIMED:
        return _("It runs by itself: start it, and read it when it is over.")
    return ""


def _reading(each: Stands, entry: Entry, token: UUID, by: User, now: datetime) -> Reading:
    typed, value = entry.figure, None
    verdict = Verdict.PASS if entry.is_right else Verdict.FAIL
    if typed is not None:
        verdict = judged(each.line, typed.value)
        value = typed.value if math.isfinite(typed.value) else None
    return Reading.objects.create(
        token=token,
        line=each.line,
        value=value,
        as_typed=_as_typed(each, entry)[:30],
        verdict=verdict,
        instrument_id=entry.instrument,
        rework=rework_of(each),
        by=by,
        at=now,
    )


def _as_typed(each: Stands, entry: Entry) -> str:
    if entry.figure is None:
        return _("right") if entry.is_right else _("not right")
    if each.line.times is not None:
        facts = {"n": entry.figure.text, "all": each.line.times}
        return _("%(n)s of %(all)s") % facts
    return entry.figure.text


def rework_of(each: Stands) -> Rework | None:
    """What a re-test of a line answers: the rework of the reading that failed."""
    found = each.rework
    return found if isinstance(found, Rework) else None
