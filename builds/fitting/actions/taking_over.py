"""Parts and wiring taken over from an earlier build of the same hilt: as they are in it, or anew.

Each line is taken over once, however often it is tried: what was taken off since stays off.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import open_build
from builds.fitting.actions.plan import choose_chassis, plan_of
from builds.fitting.models import BuildPart, Plan, WireRun
from builds.fitting.queries.listed import parts_of
from builds.fitting.refusals import Refused
from builds.progress.models import Build
from builds.progress.states import State
from shop.history.actions import record
from shop.people.models import User

# Later than that, what is on the list was looked at as it is.
BEFORE_TEST = frozenset({State.BOOKED, State.INTAKE, State.TEARDOWN, State.INSTALL})
Facts = Callable[[BuildPart], dict[str, object]]


@transaction.atomic
def take_over_as_fitted(
    build_id: int, source: Build, *, by: User, now: datetime, without: Collection[str] = ()
) -> int:
    """List what an earlier build left in the hilt as what is in it; the stores give nothing.

    :param without: kinds of part that do not stay.
    :returns: how many lines are new.
    :raises Refused: the other build is of another hilt, or this one is past install.
    """
    build = _ready(build_id, source)
    known = (part for part in parts_of([source.pk]) if part.kind not in without)
    there = [part for part in known if part.part_id and part.fitted_at]
    as_it_was: Facts = lambda part: {"serial": part.serial, "fitted_at": now, "fitted_by": by}  # noqa: E731
    wires = {"cut_at": now, "part": None}  # it is in the hilt, and no stock is behind it
    return _take(build, source, there, as_it_was, wires, by, now)


@transaction.atomic
def take_over_as_planned(build_id: int, source: Build, *, by: User, now: datetime) -> int:
    """Plan anew what an earlier build had on its list, as far as it is still used.

    :returns: how many lines are new.
    :raises Refused: the other build is of another hilt, or this one is past install.
    """
    build = _ready(build_id, source)
    there = [part for part in parts_of([source.pk]) if part.part and not part.part.retired]
    return _take(build, source, there, lambda _part: {}, {"cut_at": None}, by, now)


def _ready(build_id: int, source: Build) -> Build:
    build = open_build(build_id)
    if build.hilt_id is None or build.hilt_id != source.hilt_id or build.pk == source.pk:
        raise Refused(_("Parts are taken over between builds of one hilt alone."))
    if build.state not in BEFORE_TEST:
        raise Refused(_("It is past install: what is in it stands on its list."))
    return build


def _take(
    build: Build,
    source: Build,
    there: Iterable[BuildPart],
    facts: Facts,
    wires: Mapping[str, object],
    by: User,
    now: datetime,
) -> int:
    made = _parts(build, there, facts, by, now) + _wires(build, source, wires)
    chassis = Plan.objects.filter(build=source).values_list("chassis", flat=True).first()
    if chassis and not plan_of(build).chassis:
        choose_chassis(build, chassis, by=by, now=now)
    if made:
        record("parts_taken_over", build.about, by, now, count=made, source=str(source))
    return made


def _parts(build: Build, there: Iterable[BuildPart], facts: Facts, by: User, now: datetime) -> int:
    had = set(BuildPart.objects.filter(build=build).values_list("token", flat=True))
    new: dict[int, BuildPart] = {}
    lies: dict[int, int | None] = {}
    for part in there:
        token = _own(part.token, build)
        if token in had:
            continue
        still_there = part.section if part.section and not part.section.ended_at else None
        new[part.pk] = BuildPart.objects.create(
            token=token, build=build, part=part.part, kind=part.kind, quantity=part.quantity,
            section=still_there, position=part.position, starts_mm=part.starts_mm,
            planned_at=now, planned_by=by, **facts(part),
        )  # fmt: skip
        lies[part.pk] = part.lies_on_id
    for old, under in lies.items():
        if under in new:
            BuildPart.objects.filter(pk=new[old].pk).update(lies_on=new[under])
    return len(new)


def _wires(build: Build, source: Build, facts: Mapping[str, object]) -> int:
    had = set(WireRun.objects.filter(build=build).values_list("token", flat=True))
    count = 0
    for run in WireRun.objects.filter(build=source, ended_at=None):
        token = _own(run.token, build)
        if token in had:
            continue
        run.pk, run.token, run.build = None, token, build
        for name, value in facts.items():
            setattr(run, name, value)
        run._state.adding = True
        run.save()
        count += 1
    return count


def _own(token: UUID, build: Build) -> UUID:
    """The token of what a line becomes in another build: the same line, the same token."""
    return uuid5(token, f"again:{build.pk}")
