"""The paper for the customs, as PDF: what is in a parcel, for whom, and what it is worth."""

from typing import Any

from django.utils.formats import number_format
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries.customs import net_g
from shop.house.models import House
from shop.house.world import countries, with_country
from shop.orders.models import Order
from shop.web.dated import dated
from shop.web.money import written
from shop.web.paper import pdf

TO_FILL = ""  # left free, to be written in by hand


def customs_pdf(parcel: Parcel, house: House) -> bytes:
    """The paper; what is not known is a line to be filled in by hand."""
    return pdf("customs", _data(parcel, house), house.sheet)


def _data(parcel: Parcel, house: House) -> dict[str, Any]:
    orders = _orders(parcel)
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": _("For the customs"),
        "shop": house.name,
        "sender_head": _("Sender"),
        "sender": "\n".join(
            _filled(
                house.name, *with_country(house.address, house.country), house.phone, house.email
            )
        ),
        "to_head": _("To (consignee)"),
        "to": _to(orders[0]) if orders else "",
        "facts": [
            (_("Leaves on"), dated(parcel.day, "full")),
            (_("Order"), ", ".join(order.number for order in orders)),
            (_("Carrier"), parcel.carried_by or TO_FILL),
            (_("Tracking number"), parcel.tracking or TO_FILL),
        ],
        "rows": _rows(parcel, house.currency),
        "sign": [_("Date"), _("Signature of the sender")],
        "foot": _(
            "Where the carrier or the customs have a form of their own, that form holds. "
            "The sender vouches for what stands here."
        ),
    }


def _rows(parcel: Parcel, currency: str) -> list[tuple[str, str]]:
    return [
        (_("Description"), parcel.customs_words or TO_FILL),
        (_("Quantity"), str(_quantity(parcel))),
        (_("Net mass"), _kg(net_g(parcel))),
        (_("Gross mass"), _kg(parcel.gross_g)),
        (_("Value"), written(parcel.customs_minor, currency) or TO_FILL),
        (_("Currency"), currency),
        (_("Country of origin"), _country(parcel.origin) if parcel.origin else TO_FILL),
        (_("Tariff code"), parcel.tariff_code or TO_FILL),
    ]


def _orders(parcel: Parcel) -> list[Order]:
    inside = Order.objects.filter(
        items__build__packed__parcel=parcel, items__build__packed__taken_out_at=None
    )
    return list(inside.select_related("customer").distinct().order_by("pk"))


def _to(order: Order) -> str:
    to = order.consignee
    return "\n".join(_filled(to.full_name, *with_country(to.address, to.country), to.phone))


def _quantity(parcel: Parcel) -> int:
    goods = parcel.goods.filter(taken_out_at=None).select_related("item")
    return parcel.packed.filter(taken_out_at=None).count() + sum(g.item.quantity for g in goods)


def _kg(grams: int | None) -> str:
    return f"{number_format(grams / 1000, decimal_pos=3)}\u202fkg" if grams else TO_FILL


def _country(code: str) -> str:
    return dict(countries()).get(code, code)


def _filled(*texts: str) -> list[str]:
    return [text.strip() for text in texts if text.strip()]
