"""How a build stands, and what the placeholders of a message about it stand for."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of, parcel_of
from builds.handover.models import Return
from builds.handover.queries.returns import causes_of
from builds.intake.models import Match
from builds.progress.models import Build, Hold
from builds.progress.queries import freed_holds, open_holds
from builds.progress.states import State, Turn
from builds.queue.models import Promise
from builds.queue.queries import Due, dues
from builds.queue.queries.dues import days_for
from builds.queue.queries.news import is_swallowed, later_day, untold
from builds.queue.queries.ready import ready_since
from shop.diary.calendar import Calendar, Closed
from shop.diary.queries import away, not_between
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.orders.models import Order
from shop.people.models import Customer
from shop.post import wording
from shop.post.models import Message, Occasion
from shop.post.models import State as Post
from shop.post.queries import TOLD, of_about, wording_of
from shop.web.dated import dated


@dataclass(frozen=True)
class Stand:
    """How a build stands, for choosing what to tell and with which values."""

    build: Build
    parcel: Parcel | None
    hold: Hold | None
    due: Due | None
    first: date  # the first day on which something may still leave
    has_arrived: bool
    leaves: date | None = None  # the day on which its parcel leaves, or left
    told: frozenset[str] = field(default_factory=frozenset)
    cause: Return | None = None  # what it comes of
    came: Hold | None = None  # the newest hold that is over because the parts came
    is_ready: bool = False  # it only waits to be fetched
    closed: Sequence[Closed] = ()  # between which days nothing should arrive, while it is to come
    news: Promise | None = None  # a later day is kept, and its customer was not told yet
    later: date | None = None  # what a delay is told with, where no later day is kept
    is_swallowed: bool = False  # nothing leaves any more on the day that is due

    @property
    def is_harmed(self) -> bool:
        """Whether its customer told of a harmed cell: it must not be posted."""
        return self.cause is not None and self.cause.is_harmed

    @property
    def is_late(self) -> bool:
        """Whether the promised day has passed and it lies neither packed nor ready."""
        late = self.due is not None and self.due.day < self.first
        return late and self.build.is_open and self.parcel is None and not self.is_ready

    @property
    def is_left_behind(self) -> bool:
        """Whether its parcel waits and leaves later than on the day that it was packed for."""
        if self.parcel is None or self.parcel.left_at or self.leaves is None:
            return False
        return self.leaves > self.parcel.day


def customer_of(build: Build) -> Customer:
    """Who is told."""
    return build.item.order.customer


def order_of(build: Build) -> Order:
    """The order whose private page shows the build."""
    return build.item.order


def stand_of(build: Build, calendar: Calendar, now: datetime) -> Stand:
    """How a build stands just now."""
    stand = stands_of([build], calendar, now)[0]
    if stand.due is None or stand.news or stand.parcel or stand.due.day < stand.first:
        return stand
    return replace(stand, later=later_day(build, stand.due.day, calendar, now))


def stands_of(builds: Sequence[Build], calendar: Calendar, now: datetime) -> list[Stand]:
    """How builds stand just now, in a constant number of queries."""
    ids = [build.pk for build in builds]
    holds, parcels, due_days = open_holds(ids), parcel_of(ids), dues(ids, calendar, now)
    freed, ready, news = freed_holds(ids), ready_since(builds), untold(builds)
    here = Match.objects.filter(build__in=ids, ended_at=None).values_list("build", flat=True)
    arrived, occasions, causes = set(here), _occasions_told(builds), causes_of(builds)
    to_come = {build.pk for build in builds if build.state == State.BOOKED} - arrived
    closed = away(calendar, calendar.today(now)) if to_come else ()
    return [
        Stand(
            build=build,
            parcel=parcels.get(build.pk),
            hold=next((h for h in holds.get(build.pk, []) if h.turn == Turn.CUSTOMER), None),
            due=due_days.get(build.pk),
            first=days_for(build, calendar).first_day(now),
            has_arrived=build.pk in arrived,
            leaves=day_of(parcels[build.pk], calendar, now) if build.pk in parcels else None,
            told=frozenset(
                occasions.get(build.about, set())
                | occasions.get(f"order:{order_of(build).pk}", set())
            ),
            cause=causes.get(build.pk),
            came=next(iter(freed.get(build.pk, [])), None),
            is_ready=build.pk in ready,
            closed=closed if build.pk in to_come else (),
            news=news.get(build.pk),
            is_swallowed=is_swallowed(build, due_days.get(build.pk), calendar, now),
        )
        for build in builds
    ]


def _occasions_told(builds: Iterable[Build]) -> dict[str, set[str]]:
    abouts = {key for build in builds for key in (build.about, f"order:{order_of(build).pk}")}
    said = Message.objects.filter(
        about__in=abouts, customer__isnull=False, state__in=[*TOLD, Post.QUEUED]
    )
    found: dict[str, set[str]] = {}
    for about, occasion in said.order_by().values_list("about", "occasion").distinct():
        found.setdefault(about, set()).add(occasion)
    return found


def values(stand: Stand, occasion: str, shop: House) -> dict[str, str]:
    """What the placeholders stand for; empty where it is not known."""
    build, parcel = stand.build, stand.parcel
    day = day_meant(stand, occasion)
    return {
        "name": customer_of(build).called,
        "hilt": build.hilt.name if build.hilt else _("your blade"),
        "number": str(build),
        # What comes back has the number of its return on the box.
        "order": str(stand.cause or order_of(build).number)
        if occasion == Occasion.POSTING
        else str(order_of(build).number),
        "address": _address(stand, shop),
        "closed": "" if stand.is_harmed else "\n".join(map(not_between, stand.closed)),
        "stage": build.get_state_display(),
        "day": dated(day, "long") if day else "",
        "shop": shop.name,
        "carrier": parcel.carried_by if parcel else "",
        "tracking": parcel.tracking if parcel else "",
        "words": _words(stand, occasion),
    }


def _words(stand: Stand, occasion: str) -> str:
    """What was typed: what a hold asks, or why a day moved."""
    if occasion == Occasion.HOLD and stand.hold:
        return stand.hold.words
    return stand.news.reason if occasion == Occasion.LATE and stand.news else ""


def _address(stand: Stand, shop: House) -> str:
    """Where parcels are sent to; nowhere, where a harmed cell would travel."""
    return f"{shop.name}\n{shop.address}" if shop.address and not stand.is_harmed else ""


def day_meant(stand: Stand, occasion: str) -> date | None:
    """The day that a message is about: of leaving, or the one that is due."""
    if occasion in {Occasion.SHIPS_ON, Occasion.SENT} or stand.parcel:
        return stand.leaves
    # A day that has passed is no news: whoever writes must name a new one.
    if stand.due is None or stand.due.day < stand.first:
        return None
    is_known = occasion == Occasion.LATE and stand.news is None
    return stand.later if is_known else stand.due.day


def words_for(stand: Stand, occasion: str, shop: House) -> wording.Text:
    """The shop's words for an occasion with the values of a build; ``$link`` is left standing."""
    with speaking_as(shop, customer_of(stand.build).language):
        known = values(stand, occasion, shop)
        if occasion == Occasion.LATE and not known["day"]:
            known["day"] = "$day"  # stays to be seen, and is refused until a day stands there
        return wording.fill_text(wording_of(occasion), known)


def told_about(build: Build) -> QuerySet[Message]:
    """What was said about a build or its order, to or by the customer."""
    about = (build.about, f"order:{order_of(build).pk}")
    return of_about(*about).filter(customer__isnull=False)
