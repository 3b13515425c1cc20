"""Reads the shop's words for each occasion, and fills them with an example."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _

from builds.handover.queries.returns import example_values
from builds.progress.queries import builds
from builds.progress.states import STAGES
from builds.queue.wording import customer_of, stand_of, values
from shop.diary.calendar import Closed
from shop.diary.queries import calendar, not_between
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.post.models import Occasion, Wording
from shop.post.wording import Text, default, fill_text
from shop.web.dated import dated
from shop.web.money import written

# What a customer reads. The rest is between the tool and the staff.
FOR_CUSTOMERS = (
    Occasion.POSTING,
    Occasion.ARRIVED,
    Occasion.STAGE,
    Occasion.HOLD,
    Occasion.CAME,
    Occasion.SHIPS_ON,
    Occasion.SENT,
    Occasion.FILM,
    Occasion.LATE,
    Occasion.PAPER,
    Occasion.RETURN_NOTED,
    Occasion.RETURN_DECIDED,
    Occasion.FREE,
)


@dataclass(frozen=True)
class Words:
    """The words that stand for an occasion, and whether they are the shop's own."""

    occasion: Occasion
    text: Text
    is_own: bool


def all_words() -> list[Words]:
    """The words of every occasion on which a customer is written to."""
    own = {row.occasion: Text(row.subject, row.body) for row in Wording.objects.all()}
    return [Words(o, own.get(o.value) or default(o), o.value in own) for o in FOR_CUSTOMERS]


def fillable() -> list[tuple[str, str]]:
    """The builds with whose facts a text can be looked at: number and words, the newest first."""
    found = builds().filter(state__in=STAGES).order_by("-number")[:30]
    return [(str(one.number), f"{one.hilt or one.get_kind_display()} · {one}") for one in found]


def of_build(text: Text, number: int, occasion: str, house: House, now: datetime) -> Text | None:
    """A text as the customer of a build would read it now; None where there is no such build."""
    build = builds().filter(number=number).first()
    if build is None:
        return None
    with speaking_as(house, customer_of(build).language):
        known = values(stand_of(build, calendar(house), now), occasion, house)
        known["words"] = known["words"] or _("(here stands what you add by hand)")
        return fill_text(text, known | {"link": _link(house)})


def _link(house: House) -> str:
    return f"{(house.public_url or 'https://shop.example').rstrip('/')}/your/order/…"


def example(text: Text, house: House, day: date) -> Text:
    """A text as a customer would read it, with values made up for the purpose."""
    values = {
        "name": _("Maud"),
        "hilt": _("Ninth Lantern"),
        "number": "0138",
        "order": f"{day.year}-041",
        "address": house.address or _("4 Tannery Row\nExampleton"),
        "closed": not_between(Closed(day, day + timedelta(days=6))),
        "stage": _("test"),
        "day": dated(day, "long"),
        "link": _link(house),
        "shop": house.name,
        "tracking": "EX 960 114 000",
        "carrier": _("the parcel post"),
        "words": _("(here stands what you add by hand)"),
        "paper": _("Invoice %s") % f"I{day.year}-0031",
        "due": written(36000, house.currency),
        "return": "R0012",
        "because": _("the switch broke within the warranty"),
        **example_values(),
        "how_to_pay": house.how_to_pay or _("By bank transfer, with the invoice's number."),
    }
    return fill_text(text, values)
