"""The packing slip as PDF: what is in the box, what came back, how to wake and to charge it."""

from collections.abc import Mapping
from typing import Any

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.packing import cell_words
from builds.dispatch.queries.slips import Inside, Slip
from shop.house.models import House
from shop.house.speech import speaking_as
from shop.house.world import with_country
from shop.orders.models import Item
from shop.orders.queries.ledger import shares, standings
from shop.web.dated import dated
from shop.web.money import written
from shop.web.paper import pdf


def slip_pdf(slip: Slip, house: House, *, prices: Mapping[int, str] | None = None) -> bytes:
    """The slip of one parcel as PDF.

    :param prices: item id → its price in words; left out, none stands on the paper.
    """
    known = prices or {}
    to = slip.inside[0].build.item.order.customer  # all in it go to one person
    with speaking_as(house, to.language):
        return pdf("slip", _data(slip, house, known), house.sheet)


def prices_of(slip: Slip, house: House) -> dict[int, str]:
    """Item id → its part of what its order comes to, in words."""
    orders = {one.build.item.order_id for one in slip.inside}
    orders |= {row.item.order_id for row in slip.goods}
    found = shares(standings(orders))
    return {item: written(amount, house.currency) for item, amount in found.items() if item}


def is_priced(parcel: Parcel) -> bool:
    """Whether the price of anything in a parcel is known, line by line."""
    builds = Item.objects.filter(build__packed__parcel=parcel, build__packed__taken_out_at=None)
    goods = Item.objects.filter(packed_goods__parcel=parcel, packed_goods__taken_out_at=None)
    inside = dict((builds | goods).distinct().values_list("pk", "order"))
    return bool(inside.keys() & shares(standings(set(inside.values()))).keys())


def _data(slip: Slip, house: House, prices: Mapping[int, str]) -> dict[str, Any]:
    abroad = slip.to.country if slip.to.country != house.country else ""
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": _("Packing slip"),
        "shop": house.name,
        "foot": " · ".join(_foot(house)),
        "to": _("For"),
        "lines": [slip.to.full_name, *with_country(slip.to.address, abroad)],
        "facts": _facts(slip),
        "builds": [_build(one, prices) for one in slip.inside],
        "goods_head": _("Beside it"),
        "goods": [
            {
                "words": _counted(row.item.wanted, row.item.quantity),
                "price": prices.get(row.item_id, ""),
            }
            for row in slip.goods
        ],
        "care_head": _("Take care"),
        "care": _care(slip),
    }


def _foot(house: House) -> list[str]:
    lines = [house.name, *house.address.split("\n"), house.email]
    return [line.strip().replace(" ", "\u00a0") for line in lines if line.strip()]


def _facts(slip: Slip) -> list[tuple[str, str]]:
    orders = dict.fromkeys(one.build.item.order.number for one in slip.inside)
    return [
        (_("Order"), ", ".join(orders)),
        (_("Build"), ", ".join(str(one.build) for one in slip.inside)),
        (_("Leaves"), dated(slip.parcel.day, "full")),
    ]


def _build(one: Inside, prices: Mapping[int, str]) -> dict[str, Any]:
    return {
        "name": str(one.build.hilt or _("Blade only")),
        "number": f"{one.build} · {one.build.get_kind_display()}",
        "price": prices.get(one.build.item_id, ""),
        "things": [
            str(one.build.hilt or _("the blade")),
            *(_("%s (yours)") % _counted(it.what, it.quantity) for it in one.back),
        ],
        "stays": [
            _("%(what)s: not in the box, %(why)s") % {"what": it.what, "why": it.kept_because}
            for it in one.stays
        ],
        "cell": cell_words(one.contained) if one.contained.stowage else "",
        "wake": [_("Wake it"), one.wake] if one.wake else [],
        "charge": [_("Charge it"), one.charge] if one.charge else [],
    }


def _counted(what: str, quantity: int) -> str:
    return f"{what} × {quantity}" if quantity > 1 else what


def _care(slip: Slip) -> list[str]:
    said = [_("The booklet and the makers’ own instructions come before these lines.")]
    if not slip.asks_care:
        return said
    return [
        _("There is a lithium cell in this parcel. Keep it dry and away from heat."),
        _("Is the box crushed, wet or warm? Do not open it indoors; write to us first."),
        *said,
    ]
