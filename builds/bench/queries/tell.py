"""What the page "tell the customer" shows: the fitting occasion, its words, what was told."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.handover.queries.films import published_films
from builds.intake.models import Photo
from builds.intake.queries import photos_of
from builds.progress.models import Build
from builds.progress.queries import last_move
from builds.progress.states import UNDO_WITHIN, State
from builds.queue.queries.news import later_day
from builds.queue.queries.said import choice, said
from builds.queue.wording import Stand, customer_of, day_meant, told_about
from shop.clock import within
from shop.diary.queries import Calendar
from shop.house.models import House
from shop.people.models import Customer
from shop.post.models import Message, Occasion
from shop.post.models import State as Post
from shop.post.queries import mail_goes_nowhere


def is_expected(stand: Stand) -> bool:
    """Whether the hilt is still to be posted to the shop; with a harmed cell it never is."""
    build = stand.build
    is_to_come = build.state == State.BOOKED and build.hilt is not None and not stand.has_arrived
    return is_to_come and not stand.is_harmed


def possible(stand: Stand) -> list[Occasion]:
    """The occasions that the facts of a build bear, in the order of its way through the shop."""
    is_open = stand.build.is_open
    fits = {
        Occasion.POSTING: is_expected(stand),
        Occasion.ARRIVED: stand.has_arrived,
        Occasion.STAGE: is_open and stand.build.state != State.BOOKED,
        Occasion.HOLD: is_open and stand.hold is not None,
        Occasion.CAME: is_open and stand.came is not None,
        Occasion.LATE: is_open and (stand.due is not None or stand.is_left_behind),
        Occasion.SHIPS_ON: is_open and stand.parcel is not None,
        Occasion.SENT: stand.build.state == State.SENT,
        Occasion.FILM: bool(published_films([stand.build.pk])),
        Occasion.FREE: True,
    }
    return [occasion for occasion, does in fits.items() if does]


def fitting(stand: Stand) -> Occasion:
    """The occasion that the first tap opens with."""
    may = possible(stand)
    early = stand.build.state in {State.BOOKED, State.INTAKE}
    wanted = (
        (Occasion.SENT, True),
        (Occasion.HOLD, True),
        (Occasion.LATE, stand.is_left_behind),
        (Occasion.SHIPS_ON, True),
        (Occasion.LATE, stand.is_late or stand.is_swallowed or stand.news is not None),
        (Occasion.CAME, Occasion.CAME not in stand.told),
        (Occasion.POSTING, is_expected(stand)),
        (Occasion.ARRIVED, early and Occasion.ARRIVED not in stand.told),
        (Occasion.STAGE, True),
    )
    return next((one for one, is_time in wanted if is_time and one in may), Occasion.FREE)


def ships_on_key(build: Build, day: date) -> str:
    """The key under which a day of leaving is told once."""
    return f"ships_on:{build.pk}:{day.isoformat()}"


def told_that_day(stand: Stand) -> Message | None:
    """The message that told the parcel's day already, unless it was withdrawn."""
    if stand.leaves is None:
        return None
    key = ships_on_key(stand.build, stand.leaves)
    found = Message.objects.filter(key__startswith=key).exclude(state=Post.WITHDRAWN)
    return found.order_by("-made_at").first()


@dataclass(frozen=True)
class DayHint:
    """What stands against the day that is due, and the first that is likely enough."""

    percent: int | None  # of the day that stands; None: it has passed, or nothing can be said
    day: date | None
    is_swallowed: bool = False  # nothing leaves on the day that stands
    is_named: bool = False  # the day is in the letter already, and not kept as promised


def day_hint(stand: Stand, occasion: Occasion, calendar: Calendar, now: datetime) -> DayHint | None:
    """What to promise before a delay is told; None where a later day is kept that is likely."""
    if occasion != Occasion.LATE or stand.due is None or stand.parcel:
        return None
    pk = stand.build.pk
    one = said({pk: stand.due}, now).get(pk)
    if stand.due.day < stand.first:
        return DayHint(None, choice(stand.build, calendar, now).first_enough)
    odds = one.percent if one and one.is_danger else None
    if stand.news is None:
        return DayHint(odds, stand.later, stand.is_swallowed, stand.later is not None)
    if odds is None and not stand.is_swallowed:
        return None
    day = later_day(stand.build, stand.due.day, calendar, now)
    return DayHint(odds, day, stand.is_swallowed)


def cause_of(build: Build, now: datetime) -> tuple[str, datetime]:
    """The move that may still be taken back and with it a message; and when that may leave."""
    newest = last_move(build)
    if newest is None or newest.undoes_id or not within(newest.at, UNDO_WITHIN, now):
        return "", now
    return f"move:{newest.pk}", newest.at + UNDO_WITHIN


def photos_to_pick(build: Build) -> QuerySet[Photo]:
    """The photos of a build whose pictures are made, the newest first."""
    made = photos_of(build.pk).filter(blob__renditions__isnull=False)
    return made.order_by("-taken_at", "-pk").distinct()


def why_no_mail(customer: Customer) -> str:
    """Why a message cannot leave by mail, in words; empty where it can."""
    if not customer.email:
        return _("No mail address is on file for %s.") % customer.called
    if mail_goes_nowhere():
        return _("No mail server is set, so no mail leaves the shop.")
    return ""


def told(build: Build) -> list[Message]:
    """What was said between the shop and the customer about a build or its order, newest first."""
    return list(told_about(build)[:30])


def page_data(stand: Stand, occasion: Occasion, shop: House) -> dict[str, Any]:
    """Everything on the page but its forms."""
    build = stand.build
    return {
        "room": "bench",
        "build": build,
        "customer": customer_of(build),
        "occasion": occasion,
        "occasions": possible(stand),
        "told": told(build),
        "no_mail": why_no_mail(customer_of(build)),
        "told_already": told_that_day(stand) if occasion == Occasion.SHIPS_ON else None,
        "wants_a_day": occasion == Occasion.LATE and not day_meant(stand, occasion),
    }
