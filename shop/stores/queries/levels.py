"""What there is of a part, and the words for what there is not."""

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from shop.stores.models import Part, Reservation, StockLevel, StockRow
from shop.stores.units import quantity_shown


def amount(part: Part, quantity: int) -> str:
    """So much of a part, as it is shown: 3, or 1.25 m of what is counted by length."""
    return quantity_shown(quantity, part.counted)


def named(part: Part, quantity: int) -> str:
    """So much of a part, with its name: 3 × speaker 28 mm, or 1.25 m of wire."""
    if part.counted == "piece":
        return f"{amount(part, quantity)} × {part.name}"
    return _("%(amount)s of %(part)s") % {"amount": amount(part, quantity), "part": part.name}


def shortage(part: Part, level: StockLevel, wanted: int) -> str:
    """Why there is not as much as was wanted: what is free, and who reserved the rest."""
    said = _("%(part)s: %(wanted)s wanted, %(free)s free.") % {
        "part": part.name,
        "wanted": amount(part, wanted),
        "free": amount(part, level.free) if level.free else _("none"),
    }
    last = open_reservations(part).last()
    if last is None:
        return said
    return (
        said
        + " "
        + _("%(who)s reserved %(quantity)s for %(whose)s.")
        % {
            "who": last.by.name,
            "quantity": amount(part, last.quantity),
            "whose": last.whose,
        }
    )


def who_ended(reservation: Reservation) -> str:
    """Who fitted or released a reservation, for one who comes second."""
    row = StockRow.objects.filter(reservation=reservation).select_related("by").first()
    who = row.by.name if row else ""
    if reservation.fitted_at:
        return _("%(who)s has fitted it already. Nothing was changed.") % {"who": who}
    return _("%(who)s has released it already. Nothing was changed.") % {"who": who}


def who_moved(part: Part, level: StockLevel) -> str:
    """Who changed stock meanwhile, for one who counted against an older page."""
    row = StockRow.objects.filter(part=part).select_related("by").first()
    return _(
        "%(who)s changed stock meanwhile: %(here)s on hand now. Nothing was changed; count again."
    ) % {"who": row.by.name if row else "", "here": amount(part, level.on_hand)}


def open_reservations(part: Part) -> QuerySet[Reservation]:
    """What of a part is set aside and neither fitted nor released, the oldest first."""
    still = Reservation.objects.filter(part=part, fitted_at=None, released_at=None)
    return still.select_related("by").order_by("at", "pk")
