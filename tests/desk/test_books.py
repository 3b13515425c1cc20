"""Money settings, accounts, statements, the books: the owner's alone, exact, machine-read."""

import csv
from datetime import date, datetime, timedelta
from decimal import Decimal
from io import BytesIO, StringIO
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from pypdf import PdfReader

from shop.models import House, Order, User
from shop.orders.actions.accounts import keep_account
from shop.orders.actions.papers import credit, issue
from shop.orders.actions.payments import pay, take_back
from shop.orders.models import Account, Invoice
from shop.orders.queries.books import books, papers_csv, payments_csv
from shop.orders.queries.invoicing import PaperLine
from shop.orders.queries.statements import statement
from shop.web.speech import speaking
from tests.makers import make_agreed, make_item

pytestmark = pytest.mark.django_db
SETTINGS = {
    "prices": "without-tax", "rounding": "ROUND_HALF_EVEN", "tax_hundredths": "19,5",
    "tax_number": "XX 1", "hour_minor": "42.50", "ceiling_hundredths": "120",
    "quote_days": "21", "deposit_hundredths": "25", "deposit_from_minor": "200",
    "keeps_deposit": "on", "rush_hundredths": "25", "rush_least_minor": "30",
    "invoice_days": "10", "how_to_pay": "https://pay.example/$number/$amount",
}  # fmt: skip


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    return make_item(owner, now).order


def put(order: Order, kind: str, amount: int, by: User, now: datetime, **more: Any) -> Any:
    words = more.pop("reference", ""), more.pop("paid_on", now.date())
    return pay(order, kind, amount, "cash", *words, token=uuid4(), by=by, now=now, **more)


def bill(order: Order, by: User, now: datetime, each: int = 12_000) -> Invoice:
    line = PaperLine("work", Decimal(1), each, 2_000)
    return issue(order, [line], token=uuid4(), by=by, now=now)


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text, newline="")))


def test_money_settings_are_kept(owner_client: Client) -> None:
    assert owner_client.post("/settings/money/", SETTINGS).status_code == 303
    shop = House.objects.get()
    assert (shop.tax_hundredths, shop.hour_minor, shop.ceiling_hundredths) == (1_950, 4_250, 12_000)
    assert (shop.deposit_hundredths, shop.deposit_from_minor) == (2_500, 20_000)
    assert (shop.rush_hundredths, shop.rush_least_minor) == (2_500, 3_000)
    shown = owner_client.get("/settings/money/").content.decode()
    for value in ('value="19.5"', 'value="42.50"', 'value="120"', 'value="200.00"'):
        assert value in shown


@pytest.mark.parametrize(
    ("name", "value", "why"),
    [
        ("how_to_pay", "pay $sum", "$sum stands for nothing here."),
        ("tax_hundredths", "101", "less than or equal to 100"),
        ("deposit_hundredths", "x", "Enter a number."),
        ("hour_minor", "4.005", "GBP has no smaller coin than 0.01."),
    ],
)
def test_money_settings_say_what_is_amiss(
    name: str, value: str, why: str, owner_client: Client
) -> None:
    answer = owner_client.post("/settings/money/", SETTINGS | {name: value})
    assert answer.status_code == 422
    assert why in answer.content.decode()


def test_account_is_opened_changed_closed(order: Order, owner_client: Client) -> None:
    at = f"/customers/{order.customer_id}/account/"
    terms = {"days": "30", "discount_hundredths": "7.5", "hour_minor": "", "limit_minor": "500"}
    for days in ("30", "45"):
        assert owner_client.post(at, terms | {"days": days}).status_code == 303
    account = Account.objects.get()
    assert (account.days, account.discount_hundredths, account.limit_minor) == (45, 750, 50_000)
    owner_client.post(f"{at}close/")
    account.refresh_from_db()
    assert account.closed_at


def test_statement_adds_up_what_is_open(order: Order, owner: User, now: datetime) -> None:
    other = make_item(owner, now, order.customer).order
    keep_account(order.customer, {"days": 30, "limit_minor": 10_000}, by=owner, now=now)
    bill(order, owner, now)
    make_agreed(other, owner, now, 5_000)
    put(other, "payment", 2_000, owner, now)
    found = statement(order.customer, now.date() + timedelta(days=31))
    assert [row.stands.balance for row in found.rows] == [12_000, 3_000]
    assert (found.balance, found.overdue, found.over_limit) == (15_000, 12_000, 5_000)


def test_statement_is_printed(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    bill(order, owner, now)
    at = f"/customers/{order.customer_id}/statement/"
    assert "I2026-0001" in owner_client.get(at).content.decode()
    pdf = owner_client.get(f"{at}pdf/").content
    text = PdfReader(BytesIO(pdf)).pages[0].extract_text()
    assert "I2026-0001" in text
    assert "£120.00" in text


def test_books_count_what_stands(order: Order, owner: User, now: datetime) -> None:
    put(order, "deposit", 9_000, owner, now)
    take_back(put(order, "payment", 500, owner, now), "x", token=uuid4(), by=owner, now=now)
    put(order, "refund", 1_000, owner, now, because="x")
    put(order, "payment", 7_777, owner, now, paid_on=date(2026, 10, 31))
    paper = bill(order, owner, now)
    bill(order, owner, now)
    credit(paper, "x", token=uuid4(), by=owner, now=now)
    found = books(date(2026, 11, 1), date(2026, 11, 30))
    assert (found.came, found.went_back) == (9_000, 1_000)
    assert (found.net, found.tax, found.gross) == (10_000, 2_000, 12_000)


def test_csv_has_a_row_for_each_line_and_each_rate(
    order: Order, owner: User, now: datetime
) -> None:
    put(order, "deposit", 9_000, owner, now, reference='a, b\n"c"')
    put(order, "refund", 1_000, owner, now, because="less")
    lines = [PaperLine(w, Decimal(1), 6_000, tax) for w, tax in (("kit", 2_000), ("book", 0))]
    issue(order, lines, token=uuid4(), by=owner, now=now)
    period = date(2026, 11, 1), date(2026, 11, 30)
    payments, papers = rows(payments_csv(*period)), rows(papers_csv(*period))
    assert [row["amount"] for row in payments] == ["90.00", "-10.00"]
    assert payments[0]["reference"] == 'a, b\n"c"'
    assert [(row["tax rate"], row["net"], row["tax"], row["gross"]) for row in papers] == [
        ("20.00", "50.00", "10.00", "60.00"),
        ("0.00", "60.00", "0.00", "60.00"),
    ]
    assert payments_csv(*period).endswith("\r\n")


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_is_a_formula(sign: str, order: Order, owner: User, now: datetime) -> None:
    order.customer.full_name = f"{sign}cmd|' /C calc'!A0"
    order.customer.save()
    put(order, "payment", 100, owner, now, reference=f"{sign}1+1")
    row = rows(payments_csv(now.date(), now.date()))[0]
    assert row["customer"].startswith(f"'{sign}")
    assert row["reference"].startswith(f"'{sign}")


def test_books_are_saved_as_csv(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    put(order, "payment", 100, owner, now)
    period = "?first=2026-11-01&last=2026-11-30"
    assert "£1.00" in owner_client.get(f"/settings/books/{period}").content.decode()
    for kind in ("payments", "invoices"):
        answer = owner_client.get(f"/settings/books/{period}&csv={kind}")
        assert answer["Content-Type"] == "text/csv; charset=utf-8"
        assert kind in answer["Content-Disposition"]
    wrong = owner_client.get("/settings/books/?first=2026-11-30&last=2026-11-01")
    assert wrong.status_code == 422


def test_the_book_keepers_file_is_in_the_language_of_the_shop(
    order: Order, owner: User, now: datetime
) -> None:
    put(order, "payment", 100, owner, now)
    period = now.date(), now.date()
    in_english = payments_csv(*period), papers_csv(*period)
    with speaking("de"):
        assert (payments_csv(*period), papers_csv(*period)) == in_english
