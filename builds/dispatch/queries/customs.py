"""What the customs are told of a parcel that leaves the country, and what of it is missing."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries.travel import worth
from shop.history.models import Entry
from shop.house.models import House
from shop.house.world import countries


def is_abroad(country: str, house: House) -> bool:
    """Whether the customs are asked: it goes to a country that is not the shop's."""
    return bool(country) and country != house.country


def lacks(parcel: Parcel) -> list[str]:
    """What the customs are not told yet, in a word each."""
    told = {
        _("description"): parcel.customs_words,
        _("value"): parcel.customs_minor,
        _("country of origin"): parcel.origin,
        _("tariff code"): parcel.tariff_code,
    }
    return [word for word, value in told.items() if not value]


@dataclass(frozen=True)
class Customs:
    """The section of a parcel's page."""

    country: str
    lacks: list[str]
    seen: int
    began: bool  # something was saved
    origin: str = ""  # the name of the country
    is_weighed: bool = False
    has_net: bool = False

    @property
    def is_told(self) -> bool:
        """Whether nothing is missing."""
        return not self.lacks


def customs_of(parcel: Parcel, house: House) -> Customs | None:
    """What the customs are told of a parcel; None where it stays in the country."""
    country = country_of(parcel)
    if not is_abroad(country, house):
        return None
    missing = lacks(parcel)
    return Customs(
        country,
        missing,
        customs_seen(parcel),
        began=len(missing) < 4,
        origin=dict(countries()).get(parcel.origin, parcel.origin),
        is_weighed=bool(parcel.gross_g),
        has_net=net_g(parcel) is not None,
    )


def country_of(parcel: Parcel) -> str:
    """The country that a parcel goes to: that of the order of the first build in it."""
    inside = parcel.packed.filter(taken_out_at=None).select_related("build__item__order__customer")
    first = inside.order_by("pk").first()
    return first.build.item.order.consignee.country if first else ""


def net_g(parcel: Parcel) -> int | None:
    """What was weighed, less the box with its padding; None where one of them is not known."""
    box = parcel.box.spec.get("mass_g") if parcel.box else None
    if not parcel.gross_g or box is None or box >= parcel.gross_g:
        return None
    return round(parcel.gross_g - float(box))


def customs_seen(parcel: Parcel) -> int:
    """The newest writing-down of a parcel's customs: a form carries it, to notice another's."""
    newest = last_told(parcel)
    return newest.pk if newest else 0


def last_told(parcel: Parcel) -> Entry | None:
    """Who wrote it down last, and when."""
    told = Entry.objects.filter(about=parcel.about, verb="customs_noted")
    return told.select_related("actor").order_by("-pk").first()


def suggested_value(parcel: Parcel) -> int | None:
    """What it may be worth: as declared to the carrier, else its part of what was agreed."""
    return worth(parcel).minor or None
