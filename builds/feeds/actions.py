"""Makes and revokes feeds, and keeps what they told."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.feeds.models import Feed, FeedEvent
from builds.feeds.queries.told import is_news, told_of
from builds.feeds.refusals import Overtaken, Refused
from builds.feeds.values import Event, Told
from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User
from shop.post import links

__all__ = ["Overtaken", "Refused", "make_feed", "note_read", "revoke_feed", "tell"]

MOST_FEEDS = 10  # that one person has at once
KEPT = timedelta(days=400)  # what dropped out is remembered, so that a calendar hears of its return


@transaction.atomic
def make_feed(name: str, *, token: UUID, by: User, now: datetime) -> Feed:
    """Make an address that a calendar of one's own reads.

    :raises Refused: somebody who has a great many already.
    """
    User.objects.select_for_update().get(pk=by.pk)
    if made := Feed.objects.filter(token=token).first():
        return made
    if Feed.objects.filter(person=by, revoked_at=None).count() >= MOST_FEEDS:
        raise Refused(_("You have ten feeds already. Revoke one that is read no more."))
    feed = Feed.objects.create(
        person=by, name=name, address_id=links.new_id(), token=token, made_at=now
    )
    record("feed_made", f"staff:{by.pk}", by, now)
    return feed


@transaction.atomic
def revoke_feed(feed_pk: int, *, by: User, now: datetime) -> Feed:
    """Close an address for good: whoever reads it gets what a stranger gets.

    :raises Overtaken: somebody else was first.
    """
    # Who revoked it is read after the lock: PostgreSQL would join what it was before the wait.
    feed = Feed.objects.select_for_update().get(pk=feed_pk)
    if feed.revoked_by == by:
        return feed
    if feed.revoked_by:
        raise Overtaken(_("%s was first: this feed is revoked already.") % feed.revoked_by.name)
    feed.revoked_at, feed.revoked_by = now, by
    feed.save(update_fields=["revoked_at", "revoked_by"])
    record("feed_revoked", f"staff:{feed.person_id}", by, now)
    return feed


def note_read(feed: Feed, today: date) -> None:
    """Keep the day on which a calendar read last; one write a day."""
    if feed.last_read_on != today:
        Feed.objects.filter(pk=feed.pk).update(last_read_on=today)


def tell(events: Sequence[Event], now: datetime) -> list[Told]:
    """Each event with how often it changed and since when it is told so.

    Written only where something changed, so that the same data are the same bytes, and an event
    that moved is known by its key.
    """
    told = told_of(events)
    if is_news(events, told):
        told = _tell_anew(events, now)
    return [Told(event, told[event.key].sequence, told[event.key].changed_at) for event in events]


@transaction.atomic
def _tell_anew(events: Sequence[Event], now: datetime) -> dict[str, FeedEvent]:
    House.objects.select_for_update().get(id=1)  # two calendars may read at once
    told, marks = told_of(events), {event.key: event.mark for event in events}
    changed = [row for key, row in told.items() if row.mark != marks.get(key, "")]
    for row in changed:
        row.mark = marks.get(row.key, "")
        row.sequence += 1
        row.changed_at = max(now, row.changed_at)  # a clock may be set back
    new = [
        FeedEvent(key=key, mark=mark, changed_at=now)
        for key, mark in marks.items()
        if key not in told
    ]
    FeedEvent.objects.bulk_update(changed, ["mark", "sequence", "changed_at"])
    FeedEvent.objects.bulk_create(new)
    FeedEvent.objects.filter(mark="", changed_at__lt=now - KEPT).delete()
    return told | {row.key: row for row in new}
