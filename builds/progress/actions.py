"""Books builds and changes where they stand. Gates are asked in builds.gates, not here."""

from datetime import datetime
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from builds.hilts.models import Hilt
from builds.progress.blades import tie_blade
from builds.progress.holding import ask_again, end_hold, hold, next_asking
from builds.progress.models import Build, Move, Place, Tray
from builds.progress.queries import last_move, locked
from builds.progress.refusals import Overtaken, Refused, TrayTaken
from builds.progress.states import (
    ENDINGS,
    STAGES,
    UNDO_WITHIN,
    Kind,
    Leaves,
    State,
    is_earlier,
    next_stage,
)
from builds.progress.working import (
    add_work,
    begin_work,
    end_on,
    end_work,
    go_on_after,
    put_work_right,
)
from shop.clock import within
from shop.history.actions import record
from shop.house.actions import next_number
from shop.orders.models import Item, ItemKind
from shop.people.models import User

__all__ = [
    "Overtaken", "Refused", "TrayTaken", "add_work", "ask_again", "begin_work", "book", "end_hold",
    "end_work", "hold", "leave_by", "locked", "move", "move_locked", "next_asking", "put",
    "put_work_right", "repeated", "start", "tie_blade", "undo",
]  # fmt: skip


@transaction.atomic
def book(
    item: Item, *, hilt: Hilt | None, kind: str, leaves_by: str, by: User, now: datetime
) -> Build:
    """Book the work on a hilt under the next running number. An item booked twice is one build.

    :raises Refused: goods, a job without its hilt, or a hilt of someone else's.
    """
    item = Item.objects.select_for_update(of=("self",)).select_related("order").get(pk=item.pk)
    _check_booking(item, hilt, kind)
    booked = Build.objects.filter(item=item).first()
    if booked:
        return booked
    build = Build.objects.create(
        number=next_number("builds"),
        item=item,
        hilt=hilt,
        kind=kind,
        leaves_by=leaves_by,
        state_since=now,
    )
    record("booked", build.about, by, now, kind=kind)
    return build


def _check_booking(item: Item, hilt: Hilt | None, kind: str) -> None:
    if item.kind != ItemKind.JOB:
        raise Refused(_("Goods need no build; book jobs alone."))
    if hilt is None and kind != Kind.BLADE:
        raise Refused(_("Say which hilt the job is on; only a blade-only job has none."))
    if hilt and hilt.customer_id != item.order.customer_id:
        raise Refused(_("%(hilt)s belongs to another customer.") % {"hilt": hilt})


@transaction.atomic
def move(
    build_id: int,
    *,
    token: UUID,
    expected: str,
    to: str,
    by: User,
    now: datetime,
    reason: str = "",
    caused_in: str = "",
) -> Move:
    """Move a build once, however often the token comes.

    :param expected: the state that the person saw when tapping.
    :raises Overtaken: the build is no longer where the person saw it.
    :raises Refused: the flow has no such move.
    """
    build = locked(build_id)
    done = repeated(token, build, undoes=None)
    if done:
        return done
    if build.state != expected:
        raise Overtaken(build, last_move(build))
    return move_locked(build, to, token=token, by=by, now=now, reason=reason, caused_in=caused_in)


def move_locked(
    build: Build,
    to: str,
    *,
    token: UUID,
    by: User,
    now: datetime,
    reason: str = "",
    caused_in: str = "",
) -> Move:
    """The move itself: of a build that is locked, where it was seen, by a token that is new."""
    _check_way(build, to, reason, caused_in)
    written = _write_move(build, to, token, by, now, reason=reason, caused_in=caused_in)
    end_on(build, now)
    _stand(build, to, now)
    return written


def repeated(token: UUID, build: Build, undoes: int | None) -> Move | None:
    """The move that a token has made already; None when it is new.

    :raises Refused: the token was spent on another deed, as by a page kept open too long.
    """
    done = Move.objects.filter(token=token).first()
    if done and (done.build_id, done.undoes_id) != (build.pk, undoes):
        raise Refused(_("This page is out of date. Open it anew and tap again."))
    return done


def _check_way(build: Build, to: str, reason: str, caused_in: str) -> None:
    if build.state in ENDINGS:
        raise Refused(_("This build has ended. If the hilt comes back, book a new build."))
    if to in STAGES:
        _check_stage(build, to, reason, caused_in)
    elif to in {State.SENT, State.COLLECTED}:
        wanted = State.SENT if build.leaves_by == Leaves.POST else State.COLLECTED
        if build.state != State.DISPATCH or to != wanted:
            raise Refused(_("A build leaves finished from dispatch alone, the way it was agreed."))
    elif to not in ENDINGS:
        raise Refused(_("There is no such stage."))
    elif not reason.strip():
        raise Refused(_("Say in a few words why it ends unfinished."))


def _check_stage(build: Build, to: str, reason: str, caused_in: str) -> None:
    if to == next_stage(build.state):
        return
    if to == build.state or not is_earlier(to, build.state):
        raise Refused(_("A build goes forward one stage at a time."))
    if to == State.BOOKED:
        raise Refused(_("What has arrived cannot be un-booked; it goes back to intake at most."))
    if not reason.strip() or caused_in not in STAGES:
        raise Refused(_("Going back is rework: name the stage that caused it, and the cause."))


def _write_move(
    build: Build,
    to: str,
    token: UUID,
    by: User,
    now: datetime,
    *,
    reason: str = "",
    caused_in: str = "",
    undoes: Move | None = None,
) -> Move:
    written = Move.objects.create(
        build=build,
        token=token,
        from_state=build.state,
        to_state=to,
        at=now,
        by=by,
        reason=reason,
        caused_in=caused_in,
        undoes=undoes,
        was_started_at=build.started_at,
        was_started_by_id=build.started_by_id,
        was_since=build.state_since,
        was_in_tray_id=build.tray_id,
    )
    verb = "undone" if undoes else "moved"
    facts = {"source": build.state, "to": to, "reason": reason, "caused_in": caused_in}
    record(verb, build.about, by, now, **facts)
    return written


def _stand(build: Build, state: str, now: datetime) -> None:
    build.state, build.state_since = state, now
    build.started_at = build.started_by = None
    if state in ENDINGS:
        build.tray = None
    _save(build)


STANDS = ("state", "state_since", "started_at", "started_by", "tray", "place")


def _save(build: Build) -> None:
    try:
        with transaction.atomic():
            build.save(update_fields=STANDS)
    except IntegrityError as error:
        raise _why_not(build, str(error)) from error


def _why_not(build: Build, error: str) -> Refused:
    rule = error.splitlines()[0]  # what follows on PostgreSQL is the row, with its free text
    if build.tray_id and ("tray_holds_one" in rule or "tray_id" in rule):
        return TrayTaken(build)
    if "no_tray" in rule:
        return Refused(_("A blade-only job has no tray; give it a place."))
    return Refused(
        _("First give it a tray or a place: past intake, a hilt always stands somewhere.")
    )


@transaction.atomic
def undo(move_id: int, *, token: UUID, by: User, now: datetime, tray: Tray | None = None) -> Move:
    """Take a move back within a minute, by another move that says so.

    :param tray: asked for when the old tray was given away meanwhile.
    :raises TrayTaken: the tray that the ending freed holds another build.
    :raises Refused: too late, already taken back, or the build moved on.
    """
    undone = Move.objects.select_related("was_in_tray").get(pk=move_id)
    build = locked(undone.build_id)
    done = repeated(token, build, undoes=move_id)
    if done:
        return done
    _check_undo(undone, build, now)
    written = _write_move(build, undone.from_state, token, by, now, undoes=undone)
    end_on(build, now)
    go_on_after(build, undone.at)
    build.state, build.state_since = undone.from_state, undone.was_since
    build.started_at, build.started_by = undone.was_started_at, undone.was_started_by
    if undone.to_state in ENDINGS:  # nothing else takes a tray away
        build.tray = tray or undone.was_in_tray
    _save(build)
    return written


def _check_undo(undone: Move, build: Build, now: datetime) -> None:
    newest = last_move(build)
    if undone.undoes_id:
        raise Refused(_("That was an undo already; move it by hand if need be."))
    taken_back = Move.objects.filter(undoes=undone).select_related("by").first()
    if taken_back:
        raise Refused(_("%(who)s took that back already.") % {"who": taken_back.by.name})
    if newest is None or newest.pk != undone.pk:
        raise Refused(_("It has moved on since; nothing was taken back."))
    if not within(undone.at, UNDO_WITHIN, now):
        raise Refused(_("A move can be taken back for one minute. Now send it back with a reason."))


@transaction.atomic
def start(build_id: int, *, expected: str, by: User, now: datetime) -> Build:
    """Start the stage in which a build waits. Started twice is started once."""
    build = locked(build_id)
    if build.state != expected:
        raise Overtaken(build, last_move(build))
    if build.state in {State.BOOKED, *ENDINGS}:
        raise Refused(_("There is nothing to start here."))
    if build.started_at is None:
        build.started_at, build.started_by = now, by
        build.save(update_fields=["started_at", "started_by"])
        record("started", build.about, by, now, stage=build.state)
    return build


@transaction.atomic
def put(build_id: int, *, tray: Tray | None, place: Place | None, by: User, now: datetime) -> Build:
    """Say where a build stands: its tray, and the place of hilt, box or blade.

    :raises Refused: the tray holds another build, or the build would stand nowhere.
    """
    build = locked(build_id)
    if not build.is_open:
        raise Refused(_("This build has ended; it stands nowhere in the shop."))
    if (build.tray, build.place) == (tray, place):
        return build
    build.tray, build.place = tray, place
    _save(build)
    record("put", build.about, by, now, tray=str(tray or ""), place=str(place or ""))
    return build


@transaction.atomic
def leave_by(build_id: int, way: str, *, by: User, now: datetime) -> Build:
    """Note that another way of leaving was agreed. What it is already changes nothing.

    :raises Refused: it has ended.
    """
    build = locked(build_id)
    if not build.is_open:
        raise Refused(_("This build has ended. If the hilt comes back, book a new build."))
    if build.leaves_by != way:
        build.leaves_by = way
        build.save(update_fields=["leaves_by"])
        record("leaves_by_changed", build.about, by, now, way=way)
    return build
