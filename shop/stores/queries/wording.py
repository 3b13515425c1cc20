"""Letters about a purchase order: the order, and where it is; each as an address of a mail too."""

from collections.abc import Sequence
from urllib.parse import quote

from django.utils.translation import gettext as _

from shop.clock import day_in
from shop.house.models import House
from shop.stores.queries.buying import Stand
from shop.stores.queries.levels import named
from shop.web.dated import dated
from shop.web.money import written


def for_supplier(stand: Stand, shop: House) -> dict[str, str]:
    """Subject, body, and the address that opens both in a mail program; empty without address."""
    purchase = stand.purchase
    subject = _("Order %(number)s from %(shop)s") % {"number": purchase, "shop": shop.name}
    lines = [_line(stand, place, shop) for place in range(len(stand.lines))]
    said = [
        _("Hello,"),
        _("please send us, under our order number %s:") % purchase,
        "\n".join(filter(None, lines)),
        purchase.note.strip(),
        _("Send it to:\n%s") % f"{shop.name}\n{shop.address}" if shop.address else "",
        _("Kind regards\n%s") % shop.name,
    ]
    return _letter(stand, subject, said)


def asking_after(stand: Stand, shop: House) -> dict[str, str]:
    """The letter that asks where an order is: what has not come, and since when it is awaited."""
    purchase = stand.purchase
    known = {"number": purchase, "shop": shop.name}
    said = [
        _("Hello,"),
        _("where is our order number %s?") % _named(stand, shop),
        _("This has not come yet:") + "\n" + "\n".join(_still(stand)),
        _("Please tell us on which day it comes."),
        _("Kind regards\n%s") % shop.name,
    ]
    return _letter(stand, _("Where is order %(number)s from %(shop)s?") % known, said)


def _named(stand: Stand, shop: House) -> str:
    """Their number of it, and the days of the order."""
    purchase = stand.purchase
    known = [_("your number %s") % purchase.supplier_ref] if purchase.supplier_ref else []
    if purchase.ordered_at:
        day = day_in(shop.zone, purchase.ordered_at)
        known.append(_("ordered on %s") % dated(day, "full"))
    if purchase.expected_on:
        known.append(_("expected on %s") % dated(purchase.expected_on, "full"))
    return f"{purchase} ({', '.join(known)})" if known else str(purchase)


def _still(stand: Stand) -> list[str]:
    found = []
    for one in stand.missing:
        part = one.line.part
        ref = _("your number %s") % part.supplier_ref if part.supplier_ref else ""
        said = named(part, one.missing)
        if one.came:
            said = _("%(missing)s, of %(all)s") % {"missing": said, "all": one.ordered_words}
        found.append(f"- {said} ({ref})" if ref else f"- {said}")
    return found


def _letter(stand: Stand, subject: str, said: Sequence[str]) -> dict[str, str]:
    body = "\n\n".join(filter(None, said))
    to = quote(stand.purchase.supplier.email, safe="@")
    mail = f"mailto:{to}?subject={quote(subject)}&body={quote(body)}" if to else ""
    return {"subject": subject, "body": body, "mailto": mail}


def _line(stand: Stand, place: int, shop: House) -> str:
    one = stand.lines[place]
    part = one.line.part
    if one.line.dropped_at:
        return ""
    ref = _("your number %s") % part.supplier_ref if part.supplier_ref else ""
    cost = written(one.line.cost_minor, shop.currency)
    each = _("%s a metre") if part.counted == "mm" else _("%s each")
    known = ", ".join(filter(None, [ref, each % cost if cost else ""]))
    said = named(part, one.line.quantity)
    return f"- {said} ({known})" if known else f"- {said}"
