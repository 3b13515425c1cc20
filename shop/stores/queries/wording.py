"""A purchase order as text for the supplier, and as the address that opens it in a mail."""

from urllib.parse import quote

from django.utils.translation import gettext as _

from shop.house.models import House
from shop.stores.queries.buying import Stand
from shop.stores.queries.levels import named
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
    body = "\n\n".join(filter(None, said))
    to = quote(purchase.supplier.email, safe="@")
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
