"""Papers on the desk: looked at before they are issued, sent with the PDF, the owner's alone."""

import re
from datetime import datetime, timedelta
from email import message_from_bytes
from io import BytesIO
from typing import Any
from uuid import uuid4

import pytest
from django.core import mail
from django.test import Client
from django.utils.formats import date_format
from pypdf import PdfReader

from builds.models import Build
from shop.models import House, Message, Order, User
from shop.orders.actions.payments import pay
from shop.orders.models import Invoice, Payment
from shop.post.delivery import deliver
from tests.makers import make_agreed, make_build, make_item

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    order = make_item(owner, now).order
    lines = [
        {
            "words": words,
            "low_thousandths": thousandths,
            "quantity_thousandths": thousandths,
            "each_minor": each,
            "tax_hundredths": 2_000,
        }
        for words, thousandths, each in (("kit", 1_000, 18_000), ("hours", 6_500, 3_800))
    ]
    make_agreed(order, owner, now, 42_700, deposit=9_000, lines=lines)
    return order


def typed(*lines: tuple[str, str, str, str], **more: Any) -> dict[str, Any]:
    """An invoice as the page sends it."""
    sent: dict[str, Any] = {
        "token": str(uuid4()),
        "line-TOTAL_FORMS": str(len(lines)),
        "line-INITIAL_FORMS": "0",
    }
    for n, line in enumerate(lines):
        names = ("words", "quantity", "each", "tax")
        sent |= {f"line-{n}-{name}": value for name, value in zip(names, line, strict=True)}
    return sent | more


KIT = ("kit, two switches", "1", "180.00", "20")
HOURS = ("hours", "6,5", "38", "20")


def new(order: Order) -> str:
    return f"/orders/{order.number}/invoice/"


def test_what_was_agreed_stands_in_a_new_invoice(order: Order, owner_client: Client) -> None:
    shown = owner_client.get(new(order)).content.decode()
    for value in ('value="kit"', 'value="6.5"', 'value="38.00"', 'value="20"', "£427.00"):
        assert value in shown


def test_looking_issues_nothing(order: Order, owner_client: Client) -> None:
    answer = owner_client.post(new(order), typed(KIT, HOURS, look="1"))
    assert answer.status_code == 200
    assert "£427.00" in answer.content.decode()
    assert Invoice.objects.count() == 0


def test_two_taps_issue_one_invoice(order: Order, owner_client: Client) -> None:
    sent = typed(KIT, HOURS, reference="PO 7")
    answers = [owner_client.post(new(order), sent) for _ in range(2)]
    assert {answer["Location"] for answer in answers} == {"/papers/I2026-0001/"}
    assert Invoice.objects.get().gross_minor == 42_700


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (("kit", "1", "", "20"), "How much is one?"),
        (("", "1", "5", "20"), "What is it? The customer reads it."),
        (("kit", "two", "5", "20"), "Write a number such as 6.5."),
        (("kit", "-1", "5", "20"), "Write a number such as 6.5."),
        (("kit", "1", "5.005", "20"), "GBP has no smaller coin than 0.01."),
        (("", "", "", ""), "Nothing stands on it yet: write at least one line."),
    ],
)
def test_says_what_is_amiss_and_keeps_what_was_typed(
    line: tuple[str, str, str, str], why: str, order: Order, owner_client: Client
) -> None:
    answer = owner_client.post(new(order), typed(line, reference="PO 7"))
    shown = answer.content.decode()
    assert answer.status_code == 422
    assert why in shown
    assert 'value="PO 7"' in shown


def issued(order: Order, client: Client) -> Invoice:
    client.post(new(order), typed(KIT, HOURS))
    return Invoice.objects.get()


def test_pdf_is_the_same_each_time(order: Order, owner_client: Client) -> None:
    issued(order, owner_client)
    first, second = (owner_client.get("/papers/I2026-0001/pdf/") for _ in range(2))
    assert first["Content-Type"] == "application/pdf"
    assert first.content == second.content
    assert first.content.startswith(b"%PDF")


def test_invoice_leaves_as_a_mail_with_its_pdf(
    order: Order, owner_client: Client, now: datetime
) -> None:
    House.objects.update(how_to_pay="Transfer $amount, naming $number")
    paper = issued(order, owner_client)
    shown = owner_client.get(f"/papers/{paper.number}/").content.decode()
    assert paper.due_on == paper.issued_on + timedelta(days=14)
    due = date_format(paper.due_on, "l j F")
    assert f"Still to be paid: £427.00, by {due}." in shown
    assert "Transfer 427.00, naming I2026-0001" in shown
    sent = {"token": str(uuid4()), "subject": "Your invoice", "body": "Here it is: $link"}
    for _ in range(2):
        assert owner_client.post(f"/papers/{paper.number}/send/", sent).status_code == 303
    message = Message.objects.get(occasion="paper")
    assert deliver(message.pk, message.not_before)
    parts = list(message_from_bytes(mail.outbox[0].message().as_bytes()).walk())
    pdf = next(part for part in parts if part.get_content_type() == "application/pdf")
    assert pdf.get_filename() == "I2026-0001.pdf"
    read = PdfReader(BytesIO(pdf.get_payload(decode=True))).pages[0].extract_text()
    assert "I2026-0001" in read


def test_customer_without_mail_gets_none(order: Order, owner_client: Client) -> None:
    paper = issued(order, owner_client)
    order.customer.email = ""
    order.customer.save()
    sent = {"token": str(uuid4()), "subject": "x", "body": "y"}
    answer = owner_client.post(f"/papers/{paper.number}/send/", sent)
    assert answer.status_code == 422
    assert "has no mail address" in answer.content.decode()


def test_bench_reads_no_sum_in_a_mail_about_money(
    order: Order, owner: User, owner_client: Client, bench_client: Client, now: datetime
) -> None:
    paper = issued(order, owner_client)
    sent = {"token": str(uuid4()), "subject": "Your invoice", "body": "You owe £427.00"}
    owner_client.post(f"/papers/{paper.number}/send/", sent)
    blob = Message.objects.get(occasion="paper").blobs.get()
    sheet = make_build(owner, now, customer=order.customer).item.order
    Message.objects.filter(occasion="paper").update(about=f"order:{sheet.pk}")
    number = Build.objects.get().number
    for address in (
        f"/build/{number}/",
        f"/build/{number}/tell/",
        "/messages/",
        f"/orders/{order.number}/",
        f"/customers/{order.customer_id}/",
    ):
        answer = bench_client.get(address)
        assert answer.status_code == 200
        assert not re.search(r"\b427\b", answer.content.decode())  # a key may hold these digits
    assert bench_client.get(f"/photos/{blob.pk}/original/").status_code == 404
    assert "£427.00" in owner_client.get("/messages/").content.decode()


def test_credit_note_is_issued_once(order: Order, owner_client: Client) -> None:
    paper = issued(order, owner_client)
    for _ in range(2):
        sent = {"token": str(uuid4()), "because": "another name"}
        owner_client.post(f"/papers/{paper.number}/credit/", sent)
    assert [row.number for row in Invoice.objects.filter(paper="credit")] == ["C2026-0001"]


def test_receipt_is_given_for_a_line(
    order: Order, owner: User, owner_client: Client, now: datetime
) -> None:
    row: Payment = pay(
        order, "deposit", 9_000, "cash", "", now.date(), token=uuid4(), by=owner, now=now
    )
    at = f"/orders/{order.number}/money/{row.pk}/receipt/"
    answers = [owner_client.post(at, {"token": str(uuid4())}) for _ in range(2)]
    assert {answer["Location"] for answer in answers} == {"/papers/R2026-0001/"}
