"""The desk's quotes: typed, worked out as one types, read, sent, answered otherwise."""

from datetime import date, datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from shop.models import Answer, House, Message, Order, Quote, User
from shop.orders.actions import add_item, quote_seen, save_draft
from shop.orders.enquiries import note_enquiry
from shop.orders.models import ItemKind, QuoteState
from shop.stores.models import Kit, Part
from tests.desk.conftest import Booker
from tests.desk.test_orders import form
from tests.makers import make_part


@pytest.fixture
def order(booked: Booker, house: House) -> Order:
    House.objects.update(
        currency="GBP", tax_hundredths=2000, hour_minor=4200, deposit_hundredths=5000
    )
    return booked()


def begin(client: Client, order: Order) -> Quote:
    client.post(f"/orders/{order.number}/quote/begin/", {"token": str(uuid4())})
    return Quote.objects.filter(order=order).latest("pk")


def at(quote: Quote, deed: str = "") -> str:
    return f"/orders/{quote.order.number}/quote/{quote.revision}/{deed}"


def typed(quote: Quote, **more: Any) -> dict[str, Any]:
    """A page with one line of hours."""
    return {
        "seen": str(quote_seen(quote)),
        "line-TOTAL_FORMS": "1",
        "line-INITIAL_FORMS": "1",
        "line-0-kind": "hours",
        "line-0-words": "Wiring",
        "line-0-low": "6",
        "line-0-quantity": "8,5",
        "line-0-each": "42",
        "line-0-tax": "20",
        **more,
    }


def test_a_quote_begins_with_hours_for_the_job(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    page = owner_client.get(at(quote)).content.decode()
    assert 'value="Two switches, blue and white"' in page
    assert 'value="42.00"' in page


def test_goods_from_stores_begin_at_the_price_of_their_part(
    owner_client: Client, order: Order, owner: User, now: datetime
) -> None:
    cell = make_part(owner, now, 4, kind="cell")
    Part.objects.filter(pk=cell.pk).update(price_minor=1_250)
    cell.refresh_from_db()
    add_item(order, ItemKind.GOODS, "two spare cells", owner, now, 2, cell)
    page = owner_client.get(at(begin(owner_client, order))).content.decode()
    assert 'value="two spare cells"' in page
    assert 'value="12.50"' in page


def test_the_sum_follows_what_is_typed_and_nothing_is_kept(
    owner_client: Client, order: Order
) -> None:
    quote = begin(owner_client, order)
    heads = {"HX-Request": "true", "HX-Target": "quote-total"}
    answer = owner_client.post(at(quote), typed(quote), headers=heads)
    assert "£252.00 to £357.00" in answer.content.decode()
    assert not quote.lines.exists()


def test_saved_read_and_sent_in_three_taps(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    answer = owner_client.post(at(quote), typed(quote, read="1"))
    assert answer["Location"] == at(quote, "read/")
    page = owner_client.get(at(quote, "read/")).content.decode()
    assert "We never go above £428.40" in page
    owner_client.post(at(quote, "send/"), {"seen": quote_seen(quote)})
    quote.refresh_from_db()
    assert quote.state == QuoteState.SENT
    mail = Message.objects.get(key=f"quote:{quote.pk}")
    assert "£" not in mail.body
    assert "$link" in mail.body


def test_page_that_saw_a_number_longer_than_any_is_out_of_date(
    owner_client: Client, order: Order
) -> None:
    quote = begin(owner_client, order)
    owner_client.post(at(quote), typed(quote))
    assert owner_client.post(at(quote, "send/"), {"seen": "9" * 5_000}).status_code == 303
    quote.refresh_from_db()
    assert quote.state != QuoteState.SENT


def test_what_is_typed_wrongly_is_told_and_nothing_is_lost(
    owner_client: Client, order: Order
) -> None:
    quote = begin(owner_client, order)
    wrong = typed(
        quote, **{"line-0-low": "9", "line-0-each": "many", "amount": "5", "percent": "5"}
    )
    answer = owner_client.post(at(quote), wrong)
    page = answer.content.decode()
    assert answer.status_code == 422
    for words in ("The first figure is the lower one", "Write a sum such as", "not both"):
        assert words in page
    assert 'value="many"' in page


def test_a_line_is_taken_off_by_its_tick(owner_client: Client, order: Order) -> None:
    quote = begin(owner_client, order)
    owner_client.post(at(quote), typed(quote, **{"line-0-DELETE": "on"}))
    assert not quote.lines.exists()


def test_a_kit_is_put_on_at_its_price(
    owner_client: Client, order: Order, owner: User, now: datetime
) -> None:
    part, quote = make_part(owner, now), begin(owner_client, order)
    Part.objects.update(price_minor=1000)
    kit = Kit.objects.create(name="Simple")
    kit.lines.create(part=part, quantity=3)
    kit.hours.create(stage="install", minutes=60)
    owner_client.post(at(quote), typed(quote, kit_on=str(kit.pk)))
    line = quote.lines.get(kind="kit")
    assert (line.kit, line.each_minor, line.tax_hundredths) == (kit, 7200, 2000)


def test_a_part_is_put_on_at_its_price(
    owner_client: Client, order: Order, owner: User, now: datetime
) -> None:
    part, quote = make_part(owner, now), begin(owner_client, order)
    Part.objects.update(price_minor=1250)
    owner_client.post(at(quote), typed(quote, part_on=str(part.pk)))
    assert quote.lines.get(kind="part").each_minor == 1250


def test_the_other_tablet_is_told(
    owner_client: Client, order: Order, owner: User, now: datetime
) -> None:
    quote = begin(owner_client, order)
    sent = typed(quote)
    save_draft(quote.pk, [], {}, seen=quote_seen(quote), by=owner, now=now)
    answer = owner_client.post(at(quote), sent)
    assert answer.status_code == 422
    assert f"{owner.name} changed it meanwhile" in answer.content.decode()


def test_an_answer_given_otherwise_is_kept_with_its_words(
    owner_client: Client, order: Order
) -> None:
    quote = sent(owner_client, order)
    owner_client.post(at(quote, "answer/"), {"said": "yes", "words": "Go on!", "how": "telephone"})
    quote.refresh_from_db()
    assert (quote.state, quote.answered_how) == (QuoteState.ACCEPTED, "telephone")
    assert Answer.objects.get().text.endswith("\n\nGo on!")


def test_without_words_no_answer_is_kept(owner_client: Client, order: Order) -> None:
    quote = sent(owner_client, order)
    answer = owner_client.post(at(quote, "answer/"), {"said": "yes", "how": "telephone"})
    assert answer.status_code == 422
    assert not Answer.objects.exists()


def test_withdrawn_and_revised(owner_client: Client, order: Order) -> None:
    quote = sent(owner_client, order)
    answer = owner_client.post(at(quote, "revise/"))
    assert answer["Location"].endswith("/quote/2/")
    owner_client.post(f"/orders/{order.number}/quote/2/withdraw/")
    assert set(order.quotes.values_list("state", flat=True)) == {QuoteState.WITHDRAWN}


def test_what_was_sent_is_read_and_no_longer_written(owner_client: Client, order: Order) -> None:
    quote = sent(owner_client, order)
    page = owner_client.get(at(quote)).content.decode()
    assert "What they were sent" in page
    answer = owner_client.post(at(quote), typed(quote), follow=True)
    assert "It was sent meanwhile" in answer.content.decode()


def test_the_bench_sees_no_figure_of_a_quote(
    owner_client: Client, bench_client: Client, order: Order
) -> None:
    quote = sent(owner_client, order)
    assert bench_client.get(at(quote)).status_code == 403
    page = bench_client.get(f"/orders/{order.number}/").content.decode()
    assert "£" not in page
    assert "357" not in page


def sent(client: Client, order: Order) -> Quote:
    quote = begin(client, order)
    client.post(at(quote), typed(quote))
    client.post(at(quote, "send/"), {"seen": quote_seen(quote)})
    quote.refresh_from_db()
    return quote


def test_an_enquiry_becomes_an_order_and_its_quote_in_one_go(
    owner_client: Client, house: House, owner: User, now: datetime
) -> None:
    wish = {
        "called": "Teodor Vance", "contact": "teodor@example.com", "wishes": "Blue, two switches",
        "deadline": date(2026, 12, 20),
    }  # fmt: skip
    enquiry = note_enquiry(wish, token=uuid4(), by=owner, now=now)
    page = owner_client.get(f"/orders/new/?enquiry={enquiry.pk}&quote=1").content.decode()
    assert "Place it, and write the quote" in page
    asked = form(enquiry=str(enquiry.pk), quote="1", agreed_how="no", promise_day="")
    answers = [owner_client.post("/orders/new/", asked) for _ in range(2)]
    quote = Quote.objects.get()
    assert {answer["Location"] for answer in answers} == {at(quote)}
    enquiry.refresh_from_db()
    assert (enquiry.order, quote.order.needed_by) == (quote.order, date(2026, 12, 20))
    assert "Blue, two switches" in owner_client.get(at(quote)).content.decode()
