"""Invoices, credit notes, receipts: numbers without gaps, fixed once issued, read back as PDF."""

from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction
from pypdf import PdfReader

from shop.models import House, Order, User
from shop.orders.actions.papers import Refused, credit, give_receipt, issue
from shop.orders.actions.payments import pay, take_back
from shop.orders.models import Account, Invoice
from shop.orders.queries.invoicing import Off, PaperLine
from shop.orders.queries.ledger import standing
from shop.orders.queries.printing import pdf_of
from tests.makers import make_agreed, make_item

pytestmark = pytest.mark.django_db

KIT = PaperLine("kit, two switches", Decimal(1), 18_000, 2000)
HOURS = PaperLine("hours at the bench", Decimal("6.5"), 3_800, 2000)
HOSTILE = '#set page(fill: red) $x$ "q" <b> `c` _u_ *b* @ref [k] \\ {{ 7 }}'


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    return make_item(owner, now).order


def bill(order: Order, by: User, now: datetime, *lines: PaperLine, **more: Any) -> Invoice:
    facts = {"token": uuid4(), **more}
    return issue(order, lines or [KIT, HOURS], by=by, now=now, **facts)


def came(order: Order, amount: int, by: User, now: datetime) -> Any:
    return pay(order, "deposit", amount, "cash", "", now.date(), token=uuid4(), by=by, now=now)


def text_of(paper: Invoice) -> str:
    """The words of its PDF, with every blank and line break one blank."""
    pages = PdfReader(BytesIO(pdf_of(paper))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_invoice_has_the_years_next_number(order: Order, owner: User, now: datetime) -> None:
    assert [bill(order, owner, now).number for _ in range(2)] == ["I2026-0001", "I2026-0002"]
    eve = datetime(2027, 1, 1, 0, 30, tzinfo=UTC)
    assert bill(order, owner, eve).number == "I2027-0001"


def test_each_kind_of_paper_has_its_own_series(order: Order, owner: User, now: datetime) -> None:
    invoice, money = bill(order, owner, now), came(order, 500, owner, now)
    note = credit(invoice, "wrong order", token=uuid4(), by=owner, now=now)
    receipt = give_receipt(money, token=uuid4(), by=owner, now=now)
    assert [invoice.number, note.number, receipt.number] == [
        "I2026-0001", "C2026-0001", "R2026-0001",
    ]  # fmt: skip


def test_invoice_that_failed_leaves_no_gap(order: Order, owner: User, now: datetime) -> None:
    with transaction.atomic():
        bill(order, owner, now)
        transaction.set_rollback(True)
    assert bill(order, owner, now).number == "I2026-0001"


def test_same_token_is_one_invoice(order: Order, owner: User, now: datetime) -> None:
    token = uuid4()
    assert {bill(order, owner, now, token=token).pk for _ in range(2)} == {Invoice.objects.get().pk}


def test_tax_in_the_prices_and_on_top(order: Order, owner: User, now: datetime) -> None:
    within = bill(order, owner, now)
    assert (within.net_minor, within.tax_minor, within.gross_minor) == (35_583, 7_117, 42_700)
    House.objects.update(prices="without-tax")
    on_top = bill(order, owner, now)
    assert (on_top.net_minor, on_top.tax_minor, on_top.gross_minor) == (42_700, 8_540, 51_240)


def test_everything_on_it_is_kept_as_it_was(order: Order, owner: User, now: datetime) -> None:
    Account.objects.create(customer=order.customer, days=30, tax_number="XX 12")
    House.objects.update(how_to_pay="Pay $amount, naming $number", tax_number="GB 000")
    paper = bill(order, owner, now, reference="PO 7")
    before = pdf_of(paper)
    House.objects.update(name="Another", address="Elsewhere", how_to_pay="", tax_number="")
    order.customer.full_name = "Somebody Else"
    order.customer.save()
    paper = Invoice.objects.get()
    assert pdf_of(paper) == before
    assert (paper.reference, paper.due_on) == ("PO 7", date(2026, 12, 25))
    text = text_of(paper)
    for words in ("Wren Aldous", "Larkhill Works", "Tax number XX 12", "Tax number GB 000",
                  "Pay 427.00, naming I2026-0001", "PO 7", "25 December 2026"):  # fmt: skip
        assert words in text


def test_pdf_says_lines_tax_and_total(order: Order, owner: User, now: datetime) -> None:
    came(order, 9_000, owner, now)
    text = text_of(bill(order, owner, now, off=Off(minor=700)))
    for words in ("hours at the bench 6.5 £38.00 20\u202f% £247.00".replace("\u202f", " "),
                  "Discount −£7.00", "Total £420.00", "Paid already −£90.00",
                  "Still to pay £330.00"):  # fmt: skip
        assert words in text


def test_words_are_printed_as_they_were_typed(order: Order, owner: User, now: datetime) -> None:
    order.customer.full_name = HOSTILE
    order.customer.save()
    text = text_of(bill(order, owner, now, PaperLine(HOSTILE, Decimal(1), 100)))
    assert text.replace(" ", "").count(HOSTILE.replace(" ", "")) == 2


def test_long_invoice_goes_on_with_its_head(order: Order, owner: User, now: datetime) -> None:
    paper = bill(order, owner, now, *[KIT] * 60)
    pages = PdfReader(BytesIO(pdf_of(paper))).pages
    assert len(pages) > 1
    assert all("Quantity" in page.extract_text() for page in pages[:2])


def test_other_letters_are_printed(order: Order, owner: User, now: datetime) -> None:
    text = text_of(bill(order, owner, now, PaperLine("Žluťoučký kůň Łasica Ωμέγα", Decimal(1), 9)))
    assert "Žluťoučký kůň Łasica Ωμέγα" in text


def test_invoice_is_what_is_owed_from_then_on(order: Order, owner: User, now: datetime) -> None:
    make_agreed(order, owner, now, 45_000)
    bill(order, owner, now)
    assert (standing(order).agreed, standing(order).due) == (45_000, 42_700)


def test_credit_note_turns_it_round(order: Order, owner: User, now: datetime) -> None:
    invoice = bill(order, owner, now)
    note = credit(invoice, "two switches, not three", token=uuid4(), by=owner, now=now)
    assert (note.gross_minor, note.net_minor, note.tax_minor) == (-42_700, -35_583, -7_117)
    assert standing(order).balance == 0
    text = text_of(note)
    assert "Takes back I2026-0001" in text
    assert "two switches, not three" in text


def test_invoice_is_credited_once(order: Order, owner: User, now: datetime) -> None:
    invoice, token = bill(order, owner, now), uuid4()
    note = credit(invoice, "wrong", token=token, by=owner, now=now)
    assert credit(invoice, "wrong", token=token, by=owner, now=now) == note
    with pytest.raises(Refused, match="Credit note C2026-0001 takes it back already"):
        credit(invoice, "again", token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="Only an invoice"):
        credit(note, "back", token=uuid4(), by=owner, now=now)


def test_one_receipt_for_a_payment(order: Order, owner: User, now: datetime) -> None:
    money = came(order, 9_000, owner, now)
    receipts = {give_receipt(money, token=uuid4(), by=owner, now=now).pk for _ in range(2)}
    assert len(receipts) == 1
    assert "Received £90.00" in text_of(Invoice.objects.get())
    assert standing(order).invoiced is None


def test_no_receipt_for_what_was_taken_back(order: Order, owner: User, now: datetime) -> None:
    money = came(order, 9_000, owner, now)
    take_back(money, "another order's", token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="was taken back"):
        give_receipt(money, token=uuid4(), by=owner, now=now)


def test_nothing_above_the_ceiling_without_a_yes(order: Order, owner: User, now: datetime) -> None:
    make_agreed(order, owner, now, 40_000, ceiling=42_000)
    with pytest.raises(Refused, match=r"above the ceiling .* £420\.00 are left of £420\.00"):
        bill(order, owner, now)
    assert Invoice.objects.count() == 0


@pytest.mark.parametrize(
    ("lines", "more", "why"),
    [
        ([], {}, "Nothing stands on it yet"),
        ([PaperLine("given", Decimal(1), 0)], {}, "comes to nothing"),
        ([KIT], {"off": Off(minor=18_001)}, "more than the whole"),
        ([PaperLine("card 4242 4242 4242 4242", Decimal(1), 9)], {}, "number of a card"),
    ],
)
def test_refuses(
    lines: list[PaperLine], more: Any, why: str, order: Order, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match=why):
        issue(order, lines, token=uuid4(), by=owner, now=now, **more)


def test_issued_paper_never_changes(order: Order, owner: User, now: datetime) -> None:
    paper = bill(order, owner, now)
    for deed in (paper.delete, lambda: Invoice.objects.update(buyer="x")):
        with pytest.raises(DatabaseError), transaction.atomic():
            deed()
