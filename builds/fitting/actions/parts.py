"""Parts of a build: planned, placed, swapped, reserved, fitted, taken off again."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from builds.fitting.actions.held import (
    ask_new,
    end,
    goes_home_inside,
    held,
    let_go,
    open_build,
    own,
    whose,
)
from builds.fitting.models import BuildPart
from builds.fitting.refusals import Overtaken, Refused
from builds.fitting.states import PartState
from builds.hilts.models import Section
from builds.intake.actions import account_for
from builds.intake.models import Belonging
from builds.intake.queries import facts
from builds.progress.models import Build
from builds.teardown.actions import fitted_in
from builds.teardown.models import Inside
from shop.history.actions import record
from shop.people.models import User
from shop.stores.actions import stock
from shop.stores.kinds import FOR_PACKING, PartKind
from shop.stores.models import Part
from shop.stores.specs import problem, quantities

_INSIDE: dict[str, Inside] = {PartKind.CELL: Inside.CELL, PartKind.BOARD: Inside.ELECTRONICS}
MOST = 100_000  # in one line: a hundred metres of wire


@transaction.atomic
def plan_part(
    build: Build,
    part: Part,
    quantity: int,
    *,
    section: Section | None,
    token: UUID,
    by: User,
    now: datetime,
) -> BuildPart:
    """Put a part of the stores on the list of a build. The same token twice is one line."""
    build = open_build(build.pk)
    done = _planned_with(token, build)
    if done:
        return done
    _check(build, quantity, section)
    if part.retired:
        raise Refused(_("%s is no longer used. Choose another part.") % part)
    if part.kind in FOR_PACKING:
        raise Refused(_("%s is for packing and goes into no hilt.") % part)
    made = BuildPart.objects.create(
        token=token, build=build, part=part, kind=part.kind, quantity=quantity, section=section,
        position=_next_position(build), planned_at=now, planned_by=by,
    )  # fmt: skip
    record("part_planned", build.about, by, now, part=made.name, quantity=quantity)
    return made


@transaction.atomic
def plan_own(
    build: Build,
    belonging: Belonging,
    kind: str,
    spec: Mapping[str, Any],
    *,
    section: Section | None,
    token: UUID,
    by: User,
    now: datetime,
) -> BuildPart:
    """Put a customer's own part on the list: a belonging of this build, with its figures.

    :raises Refused: it came with another build, is on the list already, or a figure is wrong.
    """
    build = open_build(build.pk)
    done = _planned_with(token, build)
    if done:
        return done
    _check(build, belonging.quantity, section)
    _check_own(build, belonging, kind, spec)
    made = BuildPart.objects.create(
        token=token, build=build, belonging=belonging, kind=kind, spec=dict(spec),
        quantity=belonging.quantity, section=section, position=_next_position(build),
        planned_at=now, planned_by=by,
    )  # fmt: skip
    record("part_planned", build.about, by, now, part=made.name, quantity=made.quantity)
    return made


@transaction.atomic
def place(
    build_part: BuildPart,
    section: Section | None,
    position: int,
    lies_on: BuildPart | None,
    *,
    by: User,
    now: datetime,
    starts_mm: float | None = None,
) -> BuildPart:
    """Say where a part sits, as which from the blade's end, and what it lies flat on.

    :param starts_mm: how far behind its section's front edge it begins; None: in order.
    """
    found = held(build_part.pk)
    _check(found.build, found.quantity, section)
    _check_lies_on(found, lies_on)
    if starts_mm is not None and starts_mm < 0:
        raise Refused(_("A part begins behind its section's front edge."))
    said = (section, position, lies_on, starts_mm)
    if said == (found.section, found.position, found.lies_on, found.starts_mm):
        return found
    found.section, found.position, found.lies_on, found.starts_mm = said
    found.save(update_fields=["section", "position", "lies_on", "starts_mm"])
    record("part_placed", found.build.about, by, now, part=found.name, section=str(section or ""))
    return found


@transaction.atomic
def swap(build_part: BuildPart, part: Part, *, token: UUID, by: User, now: datetime) -> BuildPart:
    """Put another part of the same kind in the place of one that is not fitted yet.

    What was reserved of the old one is free again; what lies on it lies on the new one.
    """
    done = BuildPart.objects.filter(token=token).first()
    if done:
        return done
    old = held(build_part.pk)
    _check_swap(old, part)
    new = plan_part(old.build, part, old.quantity, section=old.section, token=token, by=by, now=now)
    new.position, new.lies_on, new.starts_mm = old.position, old.lies_on, old.starts_mm
    new.save(update_fields=["position", "lies_on", "starts_mm"])
    old.carries.filter(ended_at=None).update(lies_on=new)
    let_go(old, token, _("swapped"), by, now)
    end(old, _("swapped for %s") % part, now)
    record("part_swapped", old.build.about, by, now, part=old.name, other=part.name)
    return new


@transaction.atomic
def reserve_part(build_part: BuildPart, *, token: UUID, by: User, now: datetime) -> BuildPart:
    """Set a planned part aside in the stores. Reserved twice is reserved once.

    :raises shop.stores.actions.Short: the stores have less than that; says what is missing.
    """
    found = held(build_part.pk)
    if found.part is None:
        raise Refused(_("It is the customer's own part: there is nothing to reserve."))
    if found.state == PartState.PLANNED:
        ask_new(own(token, "reserve"))
        found.reservation = stock.reserve(
            found.part, found.quantity, about=found.build.about, whose=whose(found.build),
            token=own(token, "reserve"), by=by, now=now,
        )  # fmt: skip
        found.save(update_fields=["reservation"])
        record("part_reserved", found.build.about, by, now, part=found.name)
    return found


@transaction.atomic
def fit_part(
    build_part: BuildPart, *, serial: str = "", token: UUID, by: User, now: datetime
) -> BuildPart:
    """Say that a part is in the hilt: it leaves the stores, with the number that stands on it.

    :raises Overtaken: somebody fitted it first.
    :raises Refused: the hilt is not ready for parts yet, or it is a cell that must not go in.
    :raises shop.stores.actions.Short: it was not reserved, and the stores have too few.
    """
    found = held(build_part.pk)
    if found.state == PartState.FITTED:
        return _fitted_already(found, serial.strip(), by)
    _check_may_go_in(found)
    if found.part:
        reserve_part(found, token=token, by=by, now=now)
        found.refresh_from_db()
        assert found.reservation  # noqa: S101  # just set
        stock.fit(found.reservation, token=own(token, "fit"), by=by, now=now)
    elif found.belonging and goes_home_inside(found):
        account_for(found.belonging, kept_because=_("fitted in the hilt"), by=by, now=now)
    found.serial, found.fitted_at, found.fitted_by = serial.strip(), now, by
    found.save()
    if found.kind in _INSIDE:
        # No heat from now on: what teardown ticked as out is in again.
        inside, mark = _INSIDE[found.kind], own(token, "in")
        fitted_in(found.build, inside, token=mark, by=by, now=now)
    record("part_fitted", found.build.about, by, now, part=found.name, serial=found.serial)
    return found


@transaction.atomic
def note_serial(build_part: BuildPart, serial: str, *, by: User, now: datetime) -> BuildPart:
    """Write down, or mend, the serial number of a part."""
    found = held(build_part.pk)
    if found.serial != serial.strip():
        found.serial = serial.strip()
        found.save(update_fields=["serial", "serial_folded"])
        record("part_serial", found.build.about, by, now, part=found.name, serial=found.serial)
    return found


def _check_may_go_in(found: BuildPart) -> None:
    # What is in a hilt before install would be in it while heat is allowed.
    if not found.build.takes_parts:
        raise Refused(
            _("%(number)s is in %(where)s: parts go in from install on.")
            % {"number": found.build, "where": found.build.get_state_display()}
        )
    own_cell = found.belonging and found.kind == PartKind.CELL
    if own_cell and facts([found.build_id])[found.build_id].why_cell_stays:
        raise Refused(
            _("The cell check keeps this cell out. Check the one that goes in, then fit it.")
        )


def _fitted_already(found: BuildPart, serial: str, by: User) -> BuildPart:
    if found.fitted_by_id == by.pk and found.serial == serial:
        return found  # a double tap
    who = found.fitted_by.name if found.fitted_by else ""
    raise Overtaken(
        _("%(who)s fitted %(part)s first, so nothing was changed.")
        % {"who": who, "part": found.name}
    )


def _planned_with(token: UUID, build: Build) -> BuildPart | None:
    done = BuildPart.objects.filter(token=token).first()
    if done and done.build_id != build.pk:
        raise Refused(_("This page is out of date. Open it anew and tap again."))
    return done


def _check(build: Build, quantity: int, section: Section | None) -> None:
    if not 1 <= quantity <= MOST:
        raise Refused(_("Type how many: a number from 1 to 100,000."))
    if section and (section.ended_at or section.hilt_id != build.hilt_id):
        raise Refused(_("That is no section of this hilt."))


def _check_own(build: Build, belonging: Belonging, kind: str, spec: Mapping[str, Any]) -> None:
    if belonging.build_id != build.pk:
        raise Refused(_("%s did not come with this build.") % belonging)
    if belonging.in_builds.filter(ended_at=None).exists():
        raise Refused(_("%s is on a parts list already.") % belonging)
    if kind not in PartKind.values or kind in FOR_PACKING:
        raise Refused(_("Say what kind of part it is."))
    known = quantities(kind)
    wrong = [
        f"{each.label}: {why}" for each in known if (why := problem(each, spec.get(each.name)))
    ]
    if wrong or spec.keys() - {each.name for each in known}:
        raise Refused(" ".join(wrong) or _("This kind of part has no such figure."))


def _check_lies_on(found: BuildPart, under: BuildPart | None) -> None:
    seen = {found.pk}
    while under:
        if under.pk in seen or under.build_id != found.build_id or under.ended_at:
            raise Refused(_("It cannot lie on that part. Choose another."))
        seen.add(under.pk)
        under = under.lies_on


def _check_swap(old: BuildPart, part: Part) -> None:
    if old.state == PartState.FITTED:
        raise Refused(_("%s is fitted. Take it off first.") % old.name)
    if old.kind != part.kind:
        raise Refused(_("Swap it for a part of the same kind."))


def _next_position(build: Build) -> int:
    there = build.parts.filter(ended_at=None).aggregate(last=Max("position"))
    return int(there["last"] or 0) + 1


def _pk(part: BuildPart | None) -> int | None:
    return part.pk if part else None
