"""The wiring list of a build: wires listed, changed, cut, and taken off it."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import ask_new, open_build, own, whose
from builds.fitting.models import Carries, WireRun
from builds.fitting.refusals import Overtaken, Refused
from builds.fitting.values import Wire
from builds.progress.models import Build
from shop.history.actions import record
from shop.house.speech import speaking_to_the_shop
from shop.people.models import User
from shop.stores.actions import stock
from shop.stores.kinds import Counted, PartKind

LONGEST_MM = 20_000  # no wire in a hilt and its blade is longer: a slipped unit is caught
MOST_SIDE_BY_SIDE = 12


@transaction.atomic
def list_wire(build: Build, wire: Wire, *, token: UUID, by: User, now: datetime) -> WireRun:
    """Put a wire on the list. The same token twice is one wire."""
    build = open_build(build.pk)
    done = WireRun.objects.filter(token=token).first()
    if done and done.build_id == build.pk:
        return done
    if done:
        raise Refused(_("This page is out of date. Open it anew and tap again."))
    _check(wire)
    made = WireRun.objects.create(token=token, build=build, **_values(wire))
    record("wire_listed", build.about, by, now, wire=str(made))
    return made


@transaction.atomic
def list_wires(
    build: Build, wires: Iterable[Wire], *, token: UUID, by: User, now: datetime
) -> list[WireRun]:
    """Put several wires on the list at one tap. The same token twice is once."""
    return [
        list_wire(build, wire, token=own(token, str(place)), by=by, now=now)
        for place, wire in enumerate(wires)
    ]


@transaction.atomic
def change_wire(run: WireRun, wire: Wire, *, by: User, now: datetime) -> WireRun:
    """Write a wire anew; whoever types its length has looked at it, so it is no guess any more.

    :raises Refused: it is cut, and its length left the stores.
    """
    found = _held(run.pk)
    if found.cut_at:
        raise Refused(_("It is cut. Say that it is not, then change it."))
    _check(wire)
    changed = {
        name: value for name, value in _values(wire).items() if getattr(found, name) != value
    }
    if changed:
        WireRun.objects.filter(pk=found.pk).update(**changed)
        found.refresh_from_db()
        record("wire_changed", found.build.about, by, now, wire=str(found))
    return found


@transaction.atomic
def cut_wire(run: WireRun, *, token: UUID, by: User, now: datetime) -> WireRun:
    """Tick a wire as cut; what it is cut from leaves the stores by its length. Twice is once.

    :raises shop.stores.actions.Short: the stores have less of that wire.
    """
    found = _held(run.pk)
    if found.cut_at:
        return found
    if found.part:
        ask_new(own(token, "reserve"))
        reservation = stock.reserve(
            found.part, found.cut_in_all_mm, about=found.build.about, whose=whose(found.build),
            token=own(token, "reserve"), by=by, now=now,
        )  # fmt: skip
        stock.fit(reservation, token=own(token, "fit"), by=by, now=now)
    found.cut_at = now
    found.save(update_fields=["cut_at"])
    record("wire_cut", found.build.about, by, now, wire=str(found))
    return found


@transaction.atomic
def uncut_wire(run: WireRun, *, token: UUID, by: User, now: datetime) -> WireRun:
    """Take a tick back that was tapped by mistake: the length is in the stores again."""
    found = _held(run.pk)
    if found.cut_at is None:
        return found
    if found.part:
        ask_new(own(token, "back"))
        with speaking_to_the_shop():
            reason = _("not cut after all")
        stock.put_back(
            found.part, found.cut_in_all_mm, about=found.build.about, whose=whose(found.build),
            token=own(token, "back"), by=by, now=now, reason=reason,
        )  # fmt: skip
    found.cut_at = None
    found.save(update_fields=["cut_at"])
    record("wire_uncut", found.build.about, by, now, wire=str(found))
    return found


@transaction.atomic
def drop_wire(run: WireRun, *, by: User, now: datetime) -> WireRun:
    """Take a wire off the list; a cut length stays cut. Twice is once."""
    run.refresh_from_db()
    if run.ended_at:
        return run
    found = _held(run.pk)
    found.ended_at = now
    found.save(update_fields=["ended_at"])
    record("wire_off", found.build.about, by, now, wire=str(found))
    return found


def _held(run_id: int) -> WireRun:
    """A wire of an open build, under the build's lock."""
    open_build(WireRun.objects.values_list("build", flat=True).get(pk=run_id))
    found = WireRun.objects.select_related("part", "build__hilt").get(pk=run_id)
    if found.ended_at:
        raise Overtaken(_("That wire is off the list already. Nothing was changed."))
    return found


def _values(wire: Wire) -> dict[str, object]:
    return {**vars(wire), "starts": wire.starts.strip(), "ends": wire.ends.strip()}


def _check(wire: Wire) -> None:
    if not wire.starts.strip() or not wire.ends.strip():
        raise Refused(_("Say where the wire starts and where it ends."))
    if wire.carries not in Carries.values:
        raise Refused(_("Say what the wire carries."))
    if not 1 <= wire.length_mm <= LONGEST_MM or not 0 <= wire.spare_mm <= LONGEST_MM:
        raise Refused(_("Type a length from 1 mm to 20 m."))
    if not 1 <= wire.parallel <= MOST_SIDE_BY_SIDE:
        raise Refused(_("Type how many lie side by side: 1 to 12."))
    part = wire.part
    if part and (part.kind != PartKind.WIRE or part.counted != Counted.MM):
        raise Refused(_("%s is no wire that the stores count by length.") % part)
    if part and part.spec.get("gauge") not in (None, wire.gauge):
        raise Refused(_("%s has another gauge.") % part)
