"""Logs what came, ties it to builds, and keeps photos, belongings, cell checks and condition."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.intake.condition import SECOND_TAP, note_condition
from builds.intake.handing import came_with, give_back, hand_over
from builds.intake.models import Arrival, Belonging, CellCheck, ConditionNote, Match
from builds.intake.photos import add_photo, describe_photo, drop_photo, show_one_alone
from builds.intake.refusals import Refused
from builds.intake.unclaimed import let_go, refuse_gone, take_up
from builds.intake.wanted_views import (
    add_view,
    change_view,
    make_default_views,
    move_view,
    retire_view,
)
from builds.progress.actions import locked, put
from builds.progress.models import Build, Place
from builds.progress.states import State
from shop.clock import lately
from shop.history.actions import record
from shop.history.queries import made_once
from shop.people.models import User

__all__ = [
    "Refused", "account_for", "add_belongings", "add_photo", "add_view", "change_view",
    "check_cell", "claim_belonging", "describe_photo", "drop_photo", "let_go",
    "make_default_views", "match", "move_view", "note_condition", "nothing_else", "put_box",
    "receive", "rematch", "retire_view", "show_one_alone", "take_up", "unmatch",
]  # fmt: skip
BEFORE_WORK = frozenset({State.BOOKED, State.INTAKE})


@transaction.atomic
def receive(*, token: UUID, fields: dict[str, Any], by: User, now: datetime) -> Arrival:
    """Log a parcel that came. The same token twice is one arrival.

    :param fields: sender, carrier, tracking, box, note.
    """
    arrival, is_new = Arrival.objects.get_or_create(
        token=token, defaults={**fields, "came_at": now, "received_by": by}
    )
    if is_new:
        record("arrived", arrival.about, by, now, box=arrival.box)
    return arrival


def _locked_arrival(arrival_id: int) -> Arrival:
    # Photos still come in while someone ties the parcel to a build: whoever is second sees both.
    # Locks go from the parcel to its builds, in the order of their ids.
    return Arrival.objects.select_for_update(of=("self",)).get(pk=arrival_id)


@transaction.atomic
def match(arrival: Arrival, build: Build, by: User, now: datetime) -> Match:
    """Say that a parcel held the hilt of a build; its photos and belongings follow.

    What a wrong build still keeps of this parcel comes along: condition notes, tray and place.

    :raises Refused: the build has ended, or the parcel was said to be no build's.
    """
    arrival = _locked_arrival(arrival.pk)
    refuse_gone(arrival)
    build = locked(build.pk)
    if not build.is_open:
        raise Refused(_("%(number)s has ended; book a new build first.") % {"number": build})
    found, is_new = Match.objects.get_or_create(
        arrival=arrival, build=build, ended_at=None, defaults={"at": now, "by": by}
    )
    if is_new:
        Arrival.objects.filter(pk=arrival.pk).update(is_matched=True)
        record("matched", build.about, by, now, arrival=arrival.pk)
        hand_over(arrival, build)
        _take_from_wrong(arrival, build, by, now)
        _stand_where_the_box_stood(arrival, build.pk, by, now)
    return found


def _stand_where_the_box_stood(arrival: Arrival, build_id: int, by: User, now: datetime) -> None:
    build = locked(build_id)
    if arrival.place and build.place is None:
        put(build.pk, tray=build.tray, place=arrival.place, by=by, now=now)


@transaction.atomic
def put_box(arrival: Arrival, place: Place | None, by: User, now: datetime) -> Arrival:
    """Say where a box stands that nobody has matched yet.

    :raises Refused: it is matched: then each build says where its hilt is.
    """
    held = _locked_arrival(arrival.pk)
    if held.matches.filter(ended_at=None).exists():
        raise Refused(_("This parcel is matched. Say on the build's sheet where the hilt is."))
    if held.place != place:
        held.place = place
        held.save(update_fields=["place"])
        record("put", held.about, by, now, tray="", place=str(place or ""))
    return held


def _take_from_wrong(arrival: Arrival, build: Build, by: User, now: datetime) -> None:
    holders = Match.objects.filter(arrival=arrival, ended_at=None).values("build")
    left_behind = ConditionNote.objects.filter(came_by=arrival).exclude(build__in=holders)
    left_behind.update(build=build)
    former = arrival.matches.exclude(ended_at=None).exclude(build__in=holders)
    for ended in former.order_by("-ended_at", "-pk").select_related("build"):
        if not ended.build.matches.filter(ended_at=None).exists():
            _carry_over(ended.build_id, build.pk, by, now)


def _carry_over(wrong_id: int, right_id: int, by: User, now: datetime) -> None:
    """The hilt stands where it stood; only its name was wrong."""
    wrong, right = locked(wrong_id), locked(right_id)
    tray, place = wrong.tray, wrong.place
    if wrong.state not in BEFORE_WORK or (tray is None and place is None):
        return
    put(wrong.pk, tray=None, place=None, by=by, now=now)
    if right.hilt_id is None:
        tray = None
    put(right.pk, tray=right.tray or tray, place=right.place or place, by=by, now=now)


@transaction.atomic
def rematch(arrival: Arrival, wrong: Build, right: Build, by: User, now: datetime) -> Match:
    """Correct a match: everything that came by this parcel moves from one build to the other.

    The wrong build keeps its history; it loses photos, belongings, cell checks, condition notes
    and, where nothing else came for it, its tray and place.

    :raises Refused: it is the same build, or work on the wrong one has begun.
    """
    if wrong == right:
        raise Refused(_("That is the build it is matched to already."))
    _locked_arrival(arrival.pk)
    for build_id in sorted((wrong.pk, right.pk)):
        locked(build_id)
    arrival.photos.filter(only=wrong).update(only=right)
    unmatch(arrival, wrong, by, now)
    found = match(arrival, right, by, now)
    hand_over(arrival, right)  # where the parcel held the right one's hilt as well
    return found


@transaction.atomic
def unmatch(arrival: Arrival, build: Build, by: User, now: datetime) -> None:
    """Say that a parcel did not hold the hilt of this build after all.

    Photos, belongings and cell checks go back to the parcel, until it is matched again. The tray
    stays as it is: the parts lie in it, whosever they are.

    :raises Refused: it is not matched, or work on the build has begun.
    """
    _locked_arrival(arrival.pk)
    build = locked(build.pk)
    if build.state not in BEFORE_WORK:
        raise Refused(
            _("%(number)s is past intake. Send it back to intake first, with the reason.")
            % {"number": build}
        )
    ended = Match.objects.filter(arrival=arrival, build=build, ended_at=None).update(ended_at=now)
    if not ended:
        raise Refused(_("This parcel is not matched to %(number)s.") % {"number": build})
    other = Match.objects.filter(arrival=arrival, ended_at=None).exists()
    Arrival.objects.filter(pk=arrival.pk).update(is_matched=other)
    give_back(arrival, build)
    record("unmatched", build.about, by, now, arrival=arrival.pk)


def _only_build(arrival: Arrival) -> Build | None:
    """The build that a parcel is matched to, where it is one alone."""
    held = list(arrival.matches.filter(ended_at=None).select_related("build"))
    return held[0].build if len(held) == 1 else None


@transaction.atomic
def add_belongings(
    arrival: Arrival,
    things: Iterable[tuple[str, int]],
    by: User,
    now: datetime,
    build: Build | None = None,
    token: UUID | None = None,
) -> None:
    """Write down what came in the box. What the box already holds by that name is counted up.

    :param token: of one tap; sent again it counts nothing up.
    :param build: whose it is; left out, it is the one build's that the parcel is matched to, and
        where there are several or none, it stays the parcel's.
    """
    held = _locked_arrival(arrival.pk)
    if token and made_once(token):
        return
    if token:
        record("once", f"once:{token}", by, now, made=held.about)
    owner = build or _only_build(held)
    for what, quantity in things:
        _count_up(held, owner, what.strip(), quantity)
        about = owner.about if owner else held.about
        record("belonging_noted", about, by, now, what=what.strip(), quantity=quantity)
    if held.nothing_else:
        held.nothing_else = False
        held.save(update_fields=["nothing_else"])


@transaction.atomic
def count_down(belonging_id: int, by: User, now: datetime) -> None:
    """Take one back that was tapped by mistake. Gone already is gone.

    :raises Refused: it is ticked off, or its build has left.
    """
    thing = Belonging.objects.select_for_update(of=("self",)).filter(pk=belonging_id).first()
    if thing is None:
        return
    if thing.returned_at or thing.kept_because:
        raise Refused(_("It is accounted for already; take that back on the sheet first."))
    if thing.build_id and not locked(thing.build_id).is_open:
        raise Refused(_("It has left; what went along stays written as it was."))
    about = f"build:{thing.build_id}" if thing.build_id else thing.arrival.about
    record("belonging_less", about, by, now, what=thing.what)
    if thing.quantity > 1:
        thing.quantity -= 1
        thing.save(update_fields=["quantity"])
    else:
        thing.delete()


def _count_up(arrival: Arrival, build: Build | None, what: str, quantity: int) -> None:
    there = arrival.belongings.filter(build=build, what__iexact=what, returned_at=None).first()
    if there:
        there.quantity += quantity
        there.save(update_fields=["quantity"])
    else:
        Belonging.objects.create(arrival=arrival, build=build, what=what, quantity=quantity)


@transaction.atomic
def claim_belonging(belonging: Belonging, build: Build, by: User, now: datetime) -> None:
    """Say whose a belonging is, where several hilts came in one box.

    :raises Refused: the parcel is not matched to that build.
    """
    if not build.matches.filter(arrival=belonging.arrival_id, ended_at=None).exists():
        raise Refused(_("This parcel is not matched to %(number)s.") % {"number": build})
    belonging.build = build
    belonging.save(update_fields=["build"])
    record("belonging_claimed", build.about, by, now, what=belonging.what)


@transaction.atomic
def nothing_else(arrival: Arrival, by: User, now: datetime) -> None:
    """Say that the box held the hilt alone.

    :raises Refused: something else is written down.
    """
    held = _locked_arrival(arrival.pk)
    if held.belongings.exists():
        raise Refused(_("Something else is written down already."))
    if not held.nothing_else:
        held.nothing_else = True
        held.save(update_fields=["nothing_else"])
        record("nothing_else", held.about, by, now)


@transaction.atomic
def not_yet_accounted(belonging: Belonging, by: User, now: datetime) -> None:
    """Take a tick back that was tapped by mistake.

    :raises Refused: its build has left.
    """
    if belonging.build_id and not locked(belonging.build_id).is_open:
        raise Refused(_("It has left; what went along stays written as it was."))
    belonging.kept_because, belonging.returned_at = "", None
    belonging.save(update_fields=["kept_because", "returned_at"])
    about = f"build:{belonging.build_id}" if belonging.build_id else belonging.arrival.about
    record("belonging_open", about, by, now, what=belonging.what)


@transaction.atomic
def account_for(belonging: Belonging, *, kept_because: str, by: User, now: datetime) -> None:
    """Tick a belonging back into the box, or say why it stays.

    :raises Refused: its build has left; what went along is history.
    """
    if belonging.build_id and not locked(belonging.build_id).is_open:
        raise Refused(_("It has left; what went along stays written as it was."))
    belonging.kept_because = kept_because
    belonging.returned_at = None if kept_because else now
    belonging.save(update_fields=["kept_because", "returned_at"])
    about = f"build:{belonging.build_id}" if belonging.build_id else belonging.arrival.about
    verb = "belonging_kept" if kept_because else "belonging_returned"
    record(verb, about, by, now, what=belonging.what)


@transaction.atomic
def check_cell(
    *,
    build: Build | None,
    arrival: Arrival | None,
    result: str,
    millivolts: int | None,
    note: str,
    by: User,
    now: datetime,
) -> CellCheck:
    """Write down a look at the cell. It is never changed; a newer one counts instead.

    The same look again within a minute is a second tap: it is kept once.

    The build is locked: a gate that is being asked sees this look, or the build has gone.

    :raises Refused: several hilts came in the parcel, and it is not said whose cell it is.
    """
    build, arrival = _whose_cell(build, arrival)
    seen: dict[str, Any] = {"build": build, "arrival": arrival, "result": result, "note": note}
    seen |= {"millivolts": millivolts, "by": by}
    again = CellCheck.objects.filter(lately("at", SECOND_TAP, now), **seen).first()
    if again:
        return again
    check = CellCheck.objects.create(
        build=build,
        arrival=arrival,
        result=result,
        millivolts=millivolts,
        note=note,
        by=by,
        at=now,
    )
    about = build.about if build else f"arrival:{check.arrival_id}"
    record("cell_checked", about, by, now, result=result, millivolts=millivolts)
    return check


def _whose_cell(
    build: Build | None, arrival: Arrival | None
) -> tuple[Build | None, Arrival | None]:
    if build is None and arrival:
        arrival = _locked_arrival(arrival.pk)
        if arrival.matches.filter(ended_at=None).count() > 1:
            raise Refused(_("Several hilts came in this parcel. Say whose cell it is."))
        build = _only_build(arrival)
    if build is None:
        return None, arrival
    return locked(build.pk), arrival or came_with(build)
