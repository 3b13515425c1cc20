"""What the pages of numbered papers show."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shop.house.models import House
from shop.house.speech import speaking_as
from shop.orders.models import Invoice, Order, Paper, Payment
from shop.orders.queries.invoicing import Off, PaperLine, agreed_quote, lines_of, worked_out
from shop.orders.queries.ledger import Standing, standing
from shop.post.models import Message, Occasion
from shop.post.queries import wording_of
from shop.post.wording import Text, fill_text
from shop.web.dated import dated
from shop.web.money import written


@dataclass(frozen=True)
class Shown:
    """A paper and what may be done with it."""

    paper: Invoice
    is_credited: bool


def papers_of(order: Order) -> list[Shown]:
    """Every numbered paper of an order, the newest first."""
    rows = order.invoices.select_related("credits", "by").prefetch_related("credited_by")
    return [Shown(row, bool(row.credited_by.all())) for row in rows.order_by("-at", "-pk")]


def receipted(rows: Sequence[Invoice]) -> set[int]:
    """Ids of the payments that have a receipt."""
    return {row.payment_id for row in rows if row.payment_id}


def paper(number: str) -> Invoice | None:
    """A paper by its number."""
    found = Invoice.objects.select_related("order__customer", "credits", "payment")
    return found.filter(number=number).first()


def first_lines(order: Order) -> tuple[list[PaperLine], Off]:
    """What a new invoice begins with: what was agreed, where nothing was invoiced yet."""
    quote = agreed_quote(order)
    if quote is None or (standing(order).invoiced or 0) > 0:
        return [], Off()
    return lines_of(quote), Off(quote.discount_hundredths, quote.discount_minor)


def peek(lines: Sequence[PaperLine], off: Off, house: House) -> dict[str, Any] | None:
    """What lines come to, before anything is issued; None where they come to nothing sensible."""
    try:
        return worked_out(lines, off, house)
    except ValueError:
        return None


def words_for(paper: Invoice, house: House) -> Text:
    """The shop's words for a mail that a paper goes along with; ``$link`` is left standing."""
    due, customer = _due(paper, standing(paper.order)), paper.order.customer
    with speaking_as(house, customer.language):
        return fill_text(wording_of(Occasion.PAPER), _values(paper, due, house))


def _values(paper: Invoice, due: int, house: House) -> dict[str, str]:
    return {
        "name": paper.order.customer.called,
        "order": paper.order.number,
        "shop": house.name,
        "paper": f"{str(paper.get_paper_display()).capitalize()} {paper.number}",
        "due": written(due, house.currency) if due else "",
        "day": dated(paper.due_on, "long") if paper.due_on else "",
        "how_to_pay": paper.figures.get("how_to_pay", "") if due else "",
    }


def _due(paper: Invoice, stands: Standing) -> int:
    return min(stands.due, paper.gross_minor) if paper.paper == Paper.INVOICE else 0


def mails_of(papers: Sequence[Invoice]) -> dict[str, Message]:
    """Number → the newest mail that the paper went along with."""
    numbers = {f"{row.number}.pdf": row.number for row in papers}
    found = Message.objects.filter(attachments__name__in=numbers).order_by("made_at", "pk")
    named = found.values_list("attachments__name", "pk")
    messages = {row.pk: row for row in found}
    return {numbers[name]: messages[pk] for name, pk in named if name in numbers}


def payment_of(order: Order, pk: int) -> Payment | None:
    """A line of an order's ledger."""
    return order.payments.filter(pk=pk).first()
