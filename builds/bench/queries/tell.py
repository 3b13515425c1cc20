"""What the page "tell the customer" shows: the fitting occasion, its words, what was told."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from urllib.parse import quote

from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcel_of
from builds.intake.models import Match, Photo
from builds.intake.queries import photos_of
from builds.progress.models import Build, Hold
from builds.progress.queries import last_move, open_holds
from builds.progress.states import UNDO_WITHIN, State, Turn
from builds.queue.queries import Due, dues
from shop.diary.calendar import Calendar
from shop.house.models import House
from shop.orders.models import Order
from shop.people.models import Customer
from shop.post import wording
from shop.post.models import Message, Occasion
from shop.post.models import State as Post
from shop.post.queries import TOLD, mail_goes_nowhere, of_about, wording_of


@dataclass(frozen=True)
class Stand:
    """How a build stands, for choosing what to tell and with which values."""

    build: Build
    parcel: Parcel | None
    hold: Hold | None
    due: Due | None
    today: date
    has_arrived: bool
    told: frozenset[str] = field(default_factory=frozenset)

    @property
    def is_late(self) -> bool:
        """Whether the promised day has passed and nothing stands packed."""
        late = self.due is not None and self.due.day < self.today
        return late and self.build.is_open and self.parcel is None


def customer_of(build: Build) -> Customer:
    """Who is told."""
    return build.item.order.customer


def order_of(build: Build) -> Order:
    """The order whose private page shows the build."""
    return build.item.order


def stand_of(build: Build, calendar: Calendar, now: datetime) -> Stand:
    """How a build stands just now."""
    holds = open_holds([build.pk]).get(build.pk, [])
    told = _told(build).filter(state__in=[*TOLD, Post.QUEUED]).values_list("occasion", flat=True)
    return Stand(
        build=build,
        parcel=parcel_of([build.pk]).get(build.pk),
        hold=next((held for held in holds if held.turn == Turn.CUSTOMER), None),
        due=dues([build.pk], calendar, now).get(build.pk),
        today=calendar.today(now),
        has_arrived=Match.objects.filter(build=build, ended_at=None).exists(),
        told=frozenset(told.order_by()),
    )


def is_expected(stand: Stand) -> bool:
    """Whether the hilt is still to be posted to the shop."""
    build = stand.build
    return build.state == State.BOOKED and build.hilt is not None and not stand.has_arrived


def possible(stand: Stand) -> list[Occasion]:
    """The occasions that the facts of a build bear, in the order of its way through the shop."""
    is_open = stand.build.is_open
    fits = {
        Occasion.POSTING: is_expected(stand),
        Occasion.ARRIVED: stand.has_arrived,
        Occasion.STAGE: is_open and stand.build.state != State.BOOKED,
        Occasion.HOLD: is_open and stand.hold is not None,
        Occasion.LATE: is_open and stand.due is not None,
        Occasion.SHIPS_ON: is_open and stand.parcel is not None,
        Occasion.SENT: stand.build.state == State.SENT,
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
        (Occasion.SHIPS_ON, True),
        (Occasion.LATE, stand.is_late),
        (Occasion.POSTING, is_expected(stand)),
        (Occasion.ARRIVED, early and Occasion.ARRIVED not in stand.told),
        (Occasion.STAGE, True),
    )
    return next((one for one, is_time in wanted if is_time and one in may), Occasion.FREE)


def values(stand: Stand, occasion: str, shop: House) -> dict[str, str]:
    """What the placeholders stand for; empty where it is not known."""
    build, parcel = stand.build, stand.parcel
    day = _day(stand, occasion)
    asks = occasion == Occasion.HOLD and stand.hold
    return {
        "name": customer_of(build).called,
        "hilt": build.hilt.name if build.hilt else _("your blade"),
        "number": str(build),
        "order": str(order_of(build).number),
        "address": f"{shop.name}\n{shop.address}" if shop.address else "",
        "stage": build.get_state_display(),
        "day": date_format(day, "l j F") if day else "",
        "shop": shop.name,
        "carrier": parcel.carrier if parcel else "",
        "tracking": parcel.tracking if parcel else "",
        "words": stand.hold.words if asks and stand.hold else "",
    }


def _day(stand: Stand, occasion: str) -> date | None:
    if occasion in {Occasion.SHIPS_ON, Occasion.SENT} or stand.parcel:
        return stand.parcel.day if stand.parcel else None
    # A day that has passed is no news: whoever writes must name a new one.
    is_to_come = stand.due is not None and stand.due.day >= stand.today
    return stand.due.day if stand.due and is_to_come else None


def words_for(stand: Stand, occasion: str, shop: House) -> wording.Text:
    """The shop's words for an occasion with the values of a build; ``$link`` is left standing."""
    known = values(stand, occasion, shop)
    if occasion == Occasion.LATE and not known["day"]:
        known["day"] = "$day"  # stays to be seen, and is refused until a day stands there
    return wording.fill_text(wording_of(occasion), known)


def ships_on_key(build: Build, day: date) -> str:
    """The key under which a day of leaving is told once."""
    return f"ships_on:{build.pk}:{day.isoformat()}"


def told_that_day(stand: Stand) -> Message | None:
    """The message that told the parcel's day already, unless it was withdrawn."""
    if stand.parcel is None:
        return None
    key = ships_on_key(stand.build, stand.parcel.day)
    found = Message.objects.filter(key__startswith=key).exclude(state=Post.WITHDRAWN)
    return found.order_by("-made_at").first()


def cause_of(build: Build, now: datetime) -> tuple[str, datetime]:
    """The move that may still be taken back and with it a message; and when that may leave."""
    newest = last_move(build)
    if newest is None or newest.undoes_id or now - newest.at > UNDO_WITHIN:
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


def share_links(customer: Customer, text: wording.Text) -> Mapping[str, str]:
    """Addresses that open the telephone's own messages, or a mail program, with the text in."""
    phone = "".join(sign for sign in customer.phone if sign.isdigit() or sign == "+")
    to, subject, body = quote(customer.email, safe="@"), quote(text.subject), quote(text.body)
    return {
        "sms": f"sms:{phone}?&body={body}",
        "mailto": f"mailto:{to}?subject={subject}&body={body}",
    }


def told(build: Build) -> list[Message]:
    """What was said between the shop and the customer about a build or its order, newest first."""
    return list(_told(build)[:30])


def _told(build: Build) -> QuerySet[Message]:
    about = (build.about, f"order:{order_of(build).pk}")
    return of_about(*about).filter(customer__isnull=False)


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
        "wants_a_day": occasion == Occasion.LATE and not _day(stand, occasion),
    }
