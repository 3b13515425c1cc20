"""What the page "tell the customer" shows: the fitting occasion, its words, what was told."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any
from urllib.parse import quote

from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries import day_of, parcel_of
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
    leaves: date | None = None
    told: frozenset[str] = field(default_factory=frozenset)

    @property
    def is_late(self) -> bool:
        """Whether the promised day has passed and nothing stands packed."""
        late = self.due is not None and self.due.day < self.today
        return late and self.build.is_open and self.parcel is None

    @property
    def is_left_behind(self) -> bool:
        """Whether its parcel is still here though the day that it was closed for is past."""
        waits = self.parcel is not None and self.parcel.left_at is None
        return waits and self.parcel.day < self.today  # type: ignore[union-attr]


def customer_of(build: Build) -> Customer:
    """Who is told."""
    return build.item.order.customer


def order_of(build: Build) -> Order:
    """The order whose private page shows the build."""
    return build.item.order


def stand_of(build: Build, calendar: Calendar, now: datetime) -> Stand:
    """How a build stands just now."""
    return stands_of([build], calendar, now)[0]


def stands_of(builds: Sequence[Build], calendar: Calendar, now: datetime) -> list[Stand]:
    """How builds stand just now, in a constant number of queries."""
    ids = [build.pk for build in builds]
    holds, parcels, due_days = open_holds(ids), parcel_of(ids), dues(ids, calendar, now)
    here = Match.objects.filter(build__in=ids, ended_at=None).values_list("build", flat=True)
    arrived, occasions = set(here), _occasions_told(builds)
    return [
        Stand(
            build=build,
            parcel=parcels.get(build.pk),
            hold=next((h for h in holds.get(build.pk, []) if h.turn == Turn.CUSTOMER), None),
            due=due_days.get(build.pk),
            today=calendar.today(now),
            has_arrived=build.pk in arrived,
            leaves=day_of(parcels[build.pk], calendar, now) if build.pk in parcels else None,
            told=frozenset(
                occasions.get(build.about, set())
                | occasions.get(f"order:{order_of(build).pk}", set())
            ),
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


def possible(stand: Stand) -> list[Occasion]:
    """The occasions that the facts of a build bear, in the order of its way through the shop."""
    is_open = stand.build.is_open
    fits = {
        Occasion.ARRIVED: stand.has_arrived,
        Occasion.STAGE: is_open and stand.build.state != State.BOOKED,
        Occasion.HOLD: is_open and stand.hold is not None,
        Occasion.LATE: is_open and (stand.due is not None or stand.is_left_behind),
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
        (Occasion.LATE, stand.is_left_behind),
        (Occasion.SHIPS_ON, True),
        (Occasion.LATE, stand.is_late),
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
        "stage": build.get_state_display(),
        "day": date_format(day, "l j F") if day else "",
        "shop": shop.name,
        "carrier": parcel.carrier if parcel else "",
        "tracking": parcel.tracking if parcel else "",
        "words": stand.hold.words if asks and stand.hold else "",
    }


def _day(stand: Stand, occasion: str) -> date | None:
    if occasion in {Occasion.SHIPS_ON, Occasion.SENT} or stand.parcel:
        return stand.leaves
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
    if stand.leaves is None:
        return None
    key = ships_on_key(stand.build, stand.leaves)
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
