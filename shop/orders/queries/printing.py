"""Numbered papers as PDF: what was issued, put into words. The same paper gives the same bytes."""

from typing import Any

from django.conf import settings
from django.utils.formats import number_format
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from shop.house.queries import house
from shop.house.speech import speaking_as
from shop.house.states import Prices
from shop.orders.models import Invoice, Paper
from shop.web.dated import dated
from shop.web.money import written
from shop.web.paper import pdf

MINUS = "\u2212"


def pdf_of(paper: Invoice) -> bytes:
    """The paper as PDF."""
    shop = house()
    # In the language in which it was issued: what was handed out stays as it was.
    with speaking_as(shop, paper.figures.get("language", settings.LANGUAGE_CODE)):
        return pdf("money", _data(paper), shop.sheet)


def file_name(paper: Invoice) -> str:
    """What the file is called when it is saved."""
    return f"{paper.number}.pdf"


def _data(paper: Invoice) -> dict[str, Any]:
    seller = paper.seller.split("\n")
    figures = paper.figures
    return {
        "lang": (get_language() or "en").split("-")[0],
        "title": _("%(paper)s %(number)s")
        % {"paper": str(paper.get_paper_display()).capitalize(), "number": paper.number},
        "shop": seller[0],
        "foot": " · ".join(part.replace(" ", "\u00a0") for part in seller),
        "to": _("For"),
        "buyer": paper.buyer,
        "facts": _facts(paper),
        "because": paper.because,
        "columns": _columns(paper),
        "lines": [_line(line, paper) for line in figures["lines"]],
        "sums": _sums(paper),
        "total": [_total_word(paper), _money(paper.gross_minor, paper)],
        "after": _after(paper),
        "left": _left(paper),
        "pay_head": _("How to pay"),
        "pay": figures.get("how_to_pay", ""),
    }


def _facts(paper: Invoice) -> list[tuple[str, str]]:
    day = dated(paper.issued_on, "full")
    facts = [(_("Number"), paper.number), (_("Date"), day), (_("Order"), paper.order.number)]
    if paper.credits:
        facts.insert(2, (_("Takes back"), paper.credits.number))
    if paper.reference:
        facts.append((_("Your reference"), paper.reference))
    if paper.due_on:
        facts.append((_("To be paid by"), dated(paper.due_on, "full")))
    return facts


def _is_taxed(paper: Invoice) -> bool:
    return any(rate["tax"] for rate in paper.figures["rates"])


def _columns(paper: Invoice) -> list[str]:
    columns = [_("What"), _("Quantity"), _("Each"), _("Sum")]
    return [*columns[:3], _("Tax"), columns[3]] if _is_taxed(paper) else columns


def _line(line: dict[str, Any], paper: Invoice) -> list[str]:
    cells = [line["words"], _quantity(line["quantity"]), _money(line["each"], paper)]
    tax = [_percent(line["tax"])] if _is_taxed(paper) else []
    return [*cells, *tax, _money(line["sum"], paper)]


def _sums(paper: Invoice) -> list[tuple[str, str]]:
    """What leads to the total."""
    figures, sums = paper.figures, []
    if figures["discount"]:
        sums.append((_("Discount"), _money(-figures["discount"], paper)))
    if _is_taxed(paper) and not _holds_tax(paper):
        sums.append((_("Without tax"), _money(figures["net"], paper)))
        sums += _rates(paper, _("Tax at %(rate)s on %(net)s"))
    return sums


def _holds_tax(paper: Invoice) -> bool:
    return bool(paper.figures.get("prices") == Prices.WITH_TAX)


def _rates(paper: Invoice, words: str) -> list[tuple[str, str]]:
    return [
        (
            words % {"rate": _percent(rate["tax"]), "net": _money(rate["net"], paper)},
            _money(rate["of_tax"], paper),
        )
        for rate in paper.figures["rates"]
    ]


def _total_word(paper: Invoice) -> str:
    words = {Paper.RECEIPT: _("Received"), Paper.CREDIT: _("Taken back")}
    return words.get(Paper(paper.paper), _("Total"))


def _after(paper: Invoice) -> list[tuple[str, str]]:
    """What follows the total."""
    after, paid = [], paper.figures.get("paid", 0)
    if _is_taxed(paper) and _holds_tax(paper):
        after = _rates(paper, _("In it, tax at %(rate)s on %(net)s"))
    if paid:
        after.append((_("Paid already"), _money(-paid, paper)))
    return after


def _left(paper: Invoice) -> tuple[str, ...]:
    """What is still to be paid, where something was paid before."""
    paid = paper.figures.get("paid", 0)
    return (_("Still to pay"), _money(paper.gross_minor - paid, paper)) if paid else ()


def _money(amount: int, paper: Invoice) -> str:
    return written(amount, paper.currency).replace("-", MINUS)


def _percent(hundredths: int) -> str:
    value = number_format(hundredths / 100, decimal_pos=2)
    return f"{value.rstrip('0').rstrip('.,') if hundredths else '0'}\u202f%"


def _quantity(text: str) -> str:
    whole, _point, part = text.partition(".")
    return number_format(text, decimal_pos=len(part)) if part else whole
