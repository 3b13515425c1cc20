"""Reads the shop's words for each occasion, and fills them with an example."""

from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from shop.house.models import House
from shop.post.models import Occasion, Wording
from shop.post.wording import Text, default, fill_text

# What a customer reads. The rest is between the tool and the staff.
FOR_CUSTOMERS = (
    Occasion.POSTING,
    Occasion.ARRIVED,
    Occasion.STAGE,
    Occasion.HOLD,
    Occasion.SHIPS_ON,
    Occasion.SENT,
    Occasion.LATE,
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


def example(text: Text, house: House, day: date) -> Text:
    """A text as a customer would read it, with values made up for the purpose."""
    values = {
        "name": _("Maud"),
        "hilt": _("Ninth Lantern"),
        "number": "0138",
        "order": f"{day.year}-041",
        "address": house.address or _("4 Tannery Row\nExampleton"),
        "stage": _("test"),
        "day": date_format(day, "l j F"),
        "link": f"{(house.public_url or 'https://shop.example').rstrip('/')}/your/order/…",
        "shop": house.name,
        "tracking": "EX 960 114 000",
        "carrier": _("the parcel post"),
        "words": _("(here stands what you add by hand)"),
    }
    return fill_text(text, values)
