"""The dispatch day as a list on paper, and its addresses for a carrier's own upload."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from builds.bench.queries.dispatch_card import Card
from builds.dispatch.queries.classing import Classing
from builds.dispatch.queries.weights import outside
from builds.engineering.lithium import Mark
from shop.house.models import House
from shop.house.speech import speaking_to_the_shop
from shop.house.world import with_country
from shop.web.commas import Figure, csv_text
from shop.web.dated import dated
from shop.web.money import typed
from shop.web.paper import pdf

_ADDRESS_LINES = 5


Classes = Mapping[int, Classing]  # by parcel


def list_pdf(cards: Sequence[Card], classes: Classes, day: date, house: House) -> bytes:
    """The list of a day as PDF: a box to tick, what it is, where it goes, how it stands."""
    return pdf("day", _data(cards, classes, day, house), house.sheet)


def _data(cards: Sequence[Card], classes: Classes, day: date, house: House) -> dict[str, Any]:
    count = len(cards)
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": dated(day, "long full"),
        "sub": ngettext("%d parcel to hand in", "%d parcels to hand in", count) % count,
        "shop": house.name,
        "parcels": [_parcel(card, classes[card.parcel.pk]) for card in cards],
        "care": _(
            "Lithium cells: blade out, switched off or isolated, ends safe, nothing loose in the "
            "box. Never a damaged cell by post or by air. The carrier’s own rules and your local "
            "law decide; check them for each parcel."
        ),
    }


def _parcel(card: Card, classing: Classing) -> dict[str, Any]:
    classed = card.classed
    return {
        "things": [
            {
                "tray": str(row.build.tray or ""),
                "name": row.name,
                "number": str(row.build),
            }
            for row in card.rows
        ],
        "to": _lines(card),
        "box": " · ".join(filter(None, [_box(card), card.sides, card.weight])),
        "service": _service(card),
        "classed": " · ".join(
            filter(None, [classed.text if classed else "", _un(classing), _mark(classing)])
        ),
        "refused": bool(classed and not classed.is_open),
        "missing": [lack.text for lack in card.missing if lack.code != "classed"],
    }


def _box(card: Card) -> str:
    return card.parcel.box.name if card.parcel.box else ""


def _service(card: Card) -> str:
    return card.parcel.service.name if card.parcel.service else ""


def _un(classing: Classing) -> str:
    """The UN number of what may go with its cells."""
    return classing.classed.un if classing.classed and classing.may_go else ""


def _mark(classing: Classing) -> str:
    """In a word, where the mark stands on the package."""
    asked = classing.classed and classing.may_go and classing.classed.mark is Mark.REQUIRED
    return _("mark") if asked else ""


def _lines(card: Card) -> list[str]:
    if card.to is None:
        return []
    lines = [card.to.full_name, *with_country(card.to.address, card.to.country), card.to.phone]
    return [line.strip() for line in lines if line.strip()]


@speaking_to_the_shop()
def addresses_csv(cards: Sequence[Card], classes: Classes, house: House, *, values: bool) -> str:
    """A row for each parcel, as carriers take a batch in. Grams and millimetres.

    The address stands as it was typed, line by line: nobody guesses which part is the postcode.

    :param values: whether the declared value stands there, which is the owner's to see.
    """
    head = [_("reference"), _("name")]
    head += [_("address %d") % number for number in range(1, _ADDRESS_LINES + 1)]
    head += [_("country"), _("e-mail"), _("phone"), _("weight g"), _("length mm"), _("width mm"),
             _("height mm"), _("service"), _("UN number"), _("mark")]  # fmt: skip
    if values:
        head += [_("declared value"), _("currency")]
    return csv_text(head, [_row(card, classes[card.parcel.pk], house, values) for card in cards])


def _row(card: Card, classing: Classing, house: House, values: bool) -> list[str]:
    parcel, to = card.parcel, card.to
    builds = [row.build for row in card.rows]
    email = builds[0].item.order.customer.email if builds else ""
    sides, _measured = outside(parcel)
    row = [
        " ".join(str(build) for build in builds),
        to.full_name if to else "",
        *_fixed(to.address if to else ""),
        to.country if to else "",
        email,
        to.phone if to else "",
        Figure(parcel.gross_g or ""),
        *(Figure(round(side) if side else "") for side in sides),
        _service(card),
        _un(classing),
        _mark(classing),
    ]
    if not values:
        return row
    declared = parcel.declared_minor
    return [*row, Figure("" if declared is None else typed(declared, house.currency)),
            "" if declared is None else house.currency]  # fmt: skip


def _fixed(address: str) -> list[str]:
    """The lines of an address, always as many; what is over stands together in the last."""
    lines = [line.strip() for line in address.splitlines() if line.strip()]
    kept = lines[: _ADDRESS_LINES - 1]
    rest = lines[_ADDRESS_LINES - 1 :]
    kept += [", ".join(rest)] if rest else []
    return kept + [""] * (_ADDRESS_LINES - len(kept))
