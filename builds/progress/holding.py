"""Holds: why a build waits, when whoever must act is asked again, and the end of it."""

from datetime import date, datetime, timedelta
from typing import cast

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.models import Hold
from builds.progress.queries import locked
from builds.progress.refusals import Refused
from builds.progress.states import FOR_PARTS, Turn
from shop.diary.queries import calendar
from shop.history.actions import record
from shop.house.queries import house
from shop.orders.models import Quote
from shop.people.models import User
from shop.stores.models import PurchaseLine
from shop.stores.queries.buying import came_of

ASK_AFTER = (3, 7, 14)  # days between one asking and the next; common practice, no source


@transaction.atomic
def hold(build_id: int, *, fields: dict[str, object], by: User, now: datetime) -> Hold:
    """Put a build on hold.

    :param fields: reason, turn, words, before (empty: stops it now), chase_on (a day off becomes
        the next working day), and the ``line`` of a purchase order that ends it as it comes, where
        it waits for one.
    """
    build = locked(build_id)
    if not build.is_open:
        raise Refused(_("This build has ended; there is nothing to hold."))
    line = _line_of(fields)
    same = build.holds.filter(
        ended_at=None,
        reason=fields["reason"],
        words=fields["words"],
        line=line,
        turn=fields["turn"],
        quote=cast(Quote | None, fields.get("quote")),
    ).first()
    if same:
        return same
    ask_on = calendar(house()).working_day(cast(date, fields["chase_on"]))
    fields = {**fields, "chase_on": ask_on}
    put_on = Hold.objects.create(build=build, since=now, put_by=by, **fields)
    facts = {"reason": put_on.reason, "turn": put_on.turn, "before": put_on.before}
    record("held", build.about, by, now, hold=put_on.pk, **facts)
    return put_on


def _line_of(fields: dict[str, object]) -> PurchaseLine | None:
    """The line of a purchase order that a hold waits for, if it waits for one and may."""
    line = fields.get("line")
    if not isinstance(line, PurchaseLine):
        return None
    if fields["reason"] not in FOR_PARTS:
        raise Refused(_("Only a hold for parts waits for an order."))
    if fields["turn"] == Turn.CUSTOMER:
        raise Refused(_("What is on order is not the customer's turn."))
    came = came_of([line.pk])[line.pk]
    if came.is_come:
        raise Refused(_("All of that has come already."))
    if came.is_given_up:
        raise Refused(_("That was given up; it will not come."))
    return line


@transaction.atomic
def end_hold(hold_id: int, *, by: User, now: datetime) -> Hold:
    """End a hold. Ended twice is ended once.

    :raises Refused: it waits for a quote, whose answer ends it.
    """
    ended = _locked_hold(hold_id)
    if ended.over_at is None and ended.quote_id:
        raise Refused(
            _("It waits for the change order: record its answer or withdraw it, on the order.")
        )
    return _end(ended, by, now)


@transaction.atomic
def end_with_quote(held: Hold, by: User, now: datetime) -> Hold:
    """End a hold as the quote that it waits for is sent or declined."""
    return _end(_locked_hold(held.pk), by, now)


def _end(ended: Hold, by: User, now: datetime) -> Hold:
    if ended.ended_at is None:
        # A clock that was set back ends nothing before it began.
        ended.ended_at, ended.ended_by = max(now, ended.since), by
        ended.save(update_fields=["ended_at", "ended_by"])
        facts = {"reason": ended.reason, "hold": ended.pk}
        record("hold_ended", ended.build.about, by, now, **facts)
    return ended


@transaction.atomic
def ask_again(hold_id: int, *, seen: date, by: User, now: datetime) -> Hold:
    """Write down that whoever must act was asked again, and choose the next day to ask.

    :param seen: the day that the person saw; a second tap finds another one and does nothing.
    """
    asked = _locked_hold(hold_id)
    if asked.over_at:
        raise Refused(_("This hold is over; there is nothing left to ask."))
    if asked.chase_on != seen:
        return asked
    asked.asked += 1
    asked.chase_on = next_asking(asked.asked, now)
    asked.save(update_fields=["asked", "chase_on"])
    facts = {"reason": asked.reason, "hold": asked.pk, "next": asked.chase_on.isoformat()}
    record("asked_again", asked.build.about, by, now, **facts)
    return asked


def next_asking(times_asked: int, now: datetime) -> date:
    """The working day on which to ask again, after having asked so many times."""
    diary = calendar(house())
    days = ASK_AFTER[min(times_asked, len(ASK_AFTER) - 1)]
    return diary.working_day(diary.today(now) + timedelta(days=days))


def _locked_hold(hold_id: int) -> Hold:
    return (
        Hold.objects.select_for_update(of=("self",))
        .select_related("build", "quote")
        .get(pk=hold_id)
    )
