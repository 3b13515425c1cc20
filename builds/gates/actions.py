"""Moves builds on through their gates, and lets the owner pass a condition with a reason."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import partial
from uuid import UUID, uuid5

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.actions import close_parcel, lock_parcel, mark_left, mark_not_left, take_along
from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcel_of
from builds.fitting.actions.freeze import freeze
from builds.fitting.queries.listed import fitted_since
from builds.gates.conditions import (
    LEAVE,
    START,
    Condition,
    asked_before,
    before_packing,
    conditions,
    ending_conditions,
)
from builds.gates.models import Pass
from builds.handover.actions.warranty import promise_warranty, withdraw_warranty
from builds.progress import actions as progress
from builds.progress.linking import hilt_link
from builds.progress.models import Build, Move, Stretch, Tray
from builds.progress.queries import last_move
from builds.progress.states import ENDINGS, FINISHED, ON_THE_RULE, Leaves, State, next_stage
from shop.diary.queries import calendar
from shop.history.actions import record
from shop.house.queries import house
from shop.orders.actions import drop_item, take_up_item
from shop.orders.models import Order
from shop.people.models import User
from shop.post.actions import withdraw_by_cause, withdraw_stale
from shop.post.models import Occasion
from shop.web.dated import dated
from shop.web.unchanged import is_unwritten


class Refused(ValueError):
    """A deed at a gate that cannot be, said in one sentence."""


class GateClosed(Refused):
    """The gate is shut: says what is missing."""

    def __init__(self, build: Build, missing: list[Condition]) -> None:
        self.build, self.missing = build, missing
        words = "; ".join(condition.text.rstrip(".") for condition in missing)
        super().__init__(
            _("%(number)s stays as it is in %(where)s. Missing: %(missing)s")
            % {"number": build, "where": build.get_state_display(), "missing": words}
        )


def _missing(build_id: int, trigger: str) -> list[Condition]:
    return _closed(conditions([build_id], trigger)[build_id])


def _closed(asked: Sequence[Condition]) -> list[Condition]:
    return [found for found in asked if not found.is_open]


def _ask(build: Build, missing: list[Condition]) -> None:
    if missing:
        raise GateClosed(build, missing)


def advance(build_id: int, *, token: UUID, expected: str, by: User, now: datetime) -> Move:
    """Move a build to its next stage, if its gate is open.

    The gate is asked under the build's lock, so that nothing can change between asking and moving.
    Where nothing at all was written since the bench was looked at, the answer of then is that of
    now; but not once a longer deed has written something itself.
    """
    ask = partial(_missing_as_seen, now) if is_unwritten() else _missing
    with transaction.atomic():
        return _advance(build_id, ask, token, expected, by, now)


def _missing_as_seen(now: datetime, build_id: int, trigger: str) -> list[Condition]:
    seen = asked_before(build_id, now) if trigger == LEAVE else None
    return _missing(build_id, trigger) if seen is None else _closed(seen)


def _advance(
    build_id: int,
    missing: Callable[[int, str], list[Condition]],
    token: UUID,
    expected: str,
    by: User,
    now: datetime,
) -> Move:
    build = progress.locked(build_id)
    to = next_stage(expected)
    if to is None and expected == State.DISPATCH:
        raise Refused(_("From dispatch a build leaves with its parcel, or is collected."))
    if to is None:
        raise Refused(_("There is no stage to go on to."))
    done = progress.repeated(token, build, undoes=None)
    if done:
        return done
    if build.state != expected:
        raise progress.Overtaken(build, last_move(build))
    _ask(build, missing(build_id, LEAVE))
    moved = progress.move_locked(build, to, token=token, by=by, now=now)
    if moved.from_state == State.TEARDOWN:
        freeze(build, now)
    return moved


def _is_repeat(token: UUID) -> bool:
    return Move.objects.filter(token=token).exists()


@transaction.atomic
def send_back(
    build_id: int,
    to: str,
    *,
    token: UUID,
    expected: str,
    reason: str,
    caused_in: str,
    by: User,
    now: datetime,
) -> Move:
    """Send a build back to an earlier stage as rework; one that lies in a parcel comes out first.

    :raises Refused: it lies in a parcel, or the way does not lead back.
    """
    build = progress.locked(build_id)
    if next_stage(build.state) == to or to in ENDINGS:
        raise Refused(_("Rework leads back to an earlier stage."))
    if not _is_repeat(token):
        _ask_out_of_parcel(build)
    return progress.move(
        build_id,
        token=token,
        expected=expected,
        to=to,
        by=by,
        now=now,
        reason=reason,
        caused_in=caused_in,
    )


def _ask_out_of_parcel(build: Build) -> None:
    # What lies in a closed parcel leaves with it: it stays in dispatch until the parcel is opened.
    parcel = parcel_of([build.pk]).get(build.pk)
    if parcel and parcel.left_at is None:
        raise Refused(
            _("%(number)s lies in a parcel. Take it out of the parcel first.") % {"number": build}
        )


@transaction.atomic
def start(build_id: int, *, expected: str, by: User, now: datetime) -> Build:
    """Start the stage in which a build waits, if nothing forbids it."""
    build = progress.locked(build_id)
    if build.state == expected and build.started_at is None:
        _ask(build, _missing(build_id, START))
    return progress.start(build_id, expected=expected, by=by, now=now)


@transaction.atomic
def begin_work(
    build_id: int, *, expected: str, token: UUID, spent_on: str = "", by: User, now: datetime
) -> Stretch:
    """Start somebody's timer on a build; a stage that waited its turn is started with it.

    :raises GateClosed: the stage may not be started.
    :raises Overtaken: the build is no longer where the person saw it.
    """
    build = progress.locked(build_id)
    if build.state != expected:
        raise progress.Overtaken(build, last_move(build))
    begun = max(now, build.state_since)  # a tap that waited may be older than the stage
    if build.started_at is None and build.state in ON_THE_RULE:
        start(build_id, expected=expected, by=by, now=begun)
    return progress.begin_work(build_id, token=token, spent_on=spent_on, by=by, now=begun)


@transaction.atomic
def pack(build_ids: Sequence[int], *, day: date, token: UUID, by: User, now: datetime) -> Parcel:
    """Make a parcel for builds that lack nothing but what is done as they are packed.

    What is closed after the cut-off of its day leaves on the next dispatch day.

    :raises GateClosed: something else is still missing for one of them.
    :raises Refused: the day is past, or nothing leaves on it.
    """
    builds = [progress.locked(build_id) for build_id in sorted(set(build_ids))]
    if not Parcel.objects.filter(token=token).exists():
        _check_day(day, now)
        asked = conditions([build.pk for build in builds])
        for build in builds:
            _ask(build, before_packing(asked[build.pk]))
    leaves = calendar(house()).closed_for(day, now)
    return close_parcel(builds, day=leaves, token=token, by=by, now=now)


def _check_day(day: date, now: datetime) -> None:
    diary = calendar(house())
    if day < diary.today(now):
        raise Refused(_("That day is past. Choose a dispatch day to come."))
    if not diary.is_dispatch_day(day):
        raise Refused(_("Nothing leaves on %s. Choose a dispatch day.") % dated(day, "long"))


@transaction.atomic
def leave(parcel_id: int, *, by: User, now: datetime) -> list[Move]:
    """Note that a parcel left: all of its builds are sent, or none. Twice is once.

    Locks go from the parcel to its builds, in the order of their ids, here as in ``undo``: two
    deeds on one parcel wait for each other and never each for the other.

    :raises GateClosed: a build in it may not leave.
    :raises Overtaken: a build in it is no longer in dispatch.
    """
    parcel = mark_left(parcel_id, by, now)
    if parcel.left_at != now:
        return []
    builds = _locked_inside(parcel)
    _lock_orders(builds, parcel)
    asked = conditions([build.pk for build in builds])
    moves = []
    for build in builds:
        if build.state == State.DISPATCH:
            _ask(build, _closed(asked[build.pk]))
        moves.append(_send(build, uuid5(parcel.token, f"{build.pk}:{now}"), by, now))
        # "It leaves on Monday" is no news any more once it has left.
        withdraw_stale(build.about, (Occasion.SHIPS_ON,), now)
    take_along(parcel, by=by, now=now)  # after the builds' locks, as where parts are fitted
    return moves


def _locked_inside(parcel: Parcel) -> list[Build]:
    inside = parcel.packed.filter(taken_out_at=None).order_by("build")
    return [progress.locked(build_id) for build_id in inside.values_list("build", flat=True)]


def _lock_orders(builds: Sequence[Build], parcel: Parcel) -> None:
    # Two parcels of one order that leave at once: the last is asked for all that is open. An
    # order of which goods alone lie in one is asked too.
    goods = parcel.goods.filter(taken_out_at=None).values_list("item__order", flat=True)
    ids = {*(build.item.order_id for build in builds), *goods}
    list(Order.objects.select_for_update(of=("self",)).filter(pk__in=ids).order_by("pk"))


def _send(build: Build, token: UUID, by: User, now: datetime) -> Move:
    _open_its_page(build, State.SENT, now)
    moved = progress.move(
        build.pk, token=token, expected=State.DISPATCH, to=State.SENT, by=by, now=now
    )
    promise_warranty(build, by=by, now=now)
    return moved


def _open_its_page(build: Build, ending: str, now: datetime) -> None:
    """What was finished has a page of its own, for whoever looks after it."""
    if build.hilt and ending in FINISHED:
        hilt_link(build.hilt, now)


@transaction.atomic
def end(
    build_id: int,
    ending: str,
    *,
    token: UUID,
    expected: str,
    reason: str,
    by: User,
    now: datetime,
    goes: str = "",
) -> Move:
    """End a build: collected finished, or returned, withdrawn or abandoned unfinished.

    :param goes: how the hilt of an unfinished one goes back, by post or in person.
    """
    build = progress.locked(build_id)
    if ending not in ENDINGS:
        raise Refused(_("Say how it ends."))
    if ending == State.SENT:
        raise Refused(_("A build is sent by ticking its parcel off on the dispatch day."))
    if build.state == expected and not _is_repeat(token):
        _ask_out_of_parcel(build)
        _ask(build, _closed(_asked_to_end(build, ending, goes)))
    _open_its_page(build, ending, now)
    moved = progress.move(
        build_id, token=token, expected=expected, to=ending, by=by, now=now, reason=reason
    )
    if ending not in FINISHED:
        drop_item(build.item, now)
    elif moved.at == now:  # a repeat answers with the move that was made
        promise_warranty(build, by=by, now=now)
    return moved


@transaction.atomic
def leave_by(build_id: int, way: str, *, by: User, now: datetime) -> Build:
    """Agree anew how a build leaves, while it lies in no parcel.

    :raises Refused: it lies in one.
    """
    _ask_out_of_parcel(progress.locked(build_id))
    return progress.leave_by(build_id, way, by=by, now=now)


def _asked_to_end(build: Build, ending: str, goes: str) -> list[Condition]:
    if ending != State.COLLECTED:
        return ending_conditions(build.pk, ending, goes)
    if build.state == State.DISPATCH and build.leaves_by == Leaves.COLLECTION:
        return conditions([build.pk])[build.pk]
    return []  # no such way: progress says so


@transaction.atomic
def undo(
    move_id: int,
    *,
    token: UUID,
    by: User,
    now: datetime,
    tray: Tray | None = None,
    trays: Mapping[int, Tray] | None = None,
) -> Move:
    """Take a move back: its messages are withdrawn, and a parcel that left has not left.

    A parcel leaves whole, so undoing one of its builds brings back all of them.

    :param tray: for the build of this move, where its own tray was given away meanwhile.
    :param trays: build id → tray, for the others of a parcel.
    :raises TrayTaken: another tray is wanted, for the build that the error names.
    """
    undone = Move.objects.get(pk=move_id)
    parcel = parcel_of([undone.build_id]).get(undone.build_id)
    if undone.to_state == State.SENT and parcel:
        chosen = {**(trays or {}), **({undone.build_id: tray} if tray else {})}
        return _bring_back(undone, parcel, token, chosen, by, now)
    build = progress.locked(undone.build_id)
    if not _is_repeat(token):
        _ask_out_of_parcel(build)
        _ask_nothing_fitted(undone)
    return _undo_one(undone, token, tray, by, now)


def _ask_nothing_fitted(undone: Move) -> None:
    # Undone, the move would say that cell and electronics are out still.
    if undone.to_state == State.INSTALL and fitted_since(undone.build_id, undone.at):
        raise Refused(_("A part was fitted meanwhile. Send it back with a reason instead."))


def _undo_one(undone: Move, token: UUID, tray: Tray | None, by: User, now: datetime) -> Move:
    if repeat := progress.repeated(token, undone.build, undoes=undone.pk):
        return repeat
    written = progress.undo(undone.pk, token=token, by=by, now=now, tray=tray)
    withdraw_by_cause(f"move:{undone.pk}", now)
    if undone.to_state in ENDINGS:
        take_up_item(undone.build.item)
        withdraw_warranty(undone.build)
    return written


def _bring_back(
    undone: Move, parcel: Parcel, token: UUID, trays: Mapping[int, Tray], by: User, now: datetime
) -> Move:
    builds = _locked_inside(lock_parcel(parcel.pk))
    if repeat := progress.repeated(token, undone.build, undoes=undone.pk):
        return repeat  # before anything is touched: the parcel may have left again since
    written = _undo_one(undone, token, trays.get(undone.build_id), by, now)
    mark_not_left(parcel.pk, by, now)
    for build in builds:
        sent = last_move(build)
        if build.pk != undone.build_id and sent and sent.to_state == State.SENT:
            own = uuid5(parcel.token, f"back:{sent.pk}")
            _undo_one(sent, own, trays.get(build.pk), by, now)
    return written


@transaction.atomic
def let_by(build_id: int, code: str, *, reason: str, by: User, now: datetime) -> Pass:
    """The owner passes one condition of the stage that a build is in, with a written reason.

    His word goes for this stay: once sent back, the build is asked again as it comes by anew.

    :raises Refused: nobody may pass it, it is met already, or the reason is missing.
    """
    build = progress.locked(build_id)
    if not by.is_owner:
        raise Refused(_("Only the owner can pass a condition."))
    if not reason.strip():
        raise Refused(_("Write down why it may pass; it stays in the history."))
    all_asked = [*ending_conditions(build_id), *conditions([build_id])[build_id]]
    asked = {found.code: found for found in all_asked}
    found = asked.get(code)
    if found is None or found.is_open:
        raise Refused(_("There is nothing to pass here any more."))
    if found.never_pass:
        raise Refused(_("Nobody can pass this one: %s") % found.text)
    passed, is_new = Pass.objects.get_or_create(
        build=build,
        stage=build.state,
        code=code,
        stay_since=build.state_since,
        # Not before the stay itself, where the clock was set back since it began.
        defaults={"reason": reason, "by": by, "at": max(now, build.state_since)},
    )
    if is_new:
        record("passed", build.about, by, now, code=code, stage=build.state, reason=reason)
    return passed
