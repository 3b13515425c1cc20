"""A quote and a consent on the customer's page: read, answered, told to whoever was late."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.progress import quoting
from builds.progress.models import Build
from shop.models import Answer, Message, Order, Quote, User
from shop.orders.actions import (
    LineFacts,
    ask_consent,
    draft_quote,
    quote_seen,
    revise_quote,
    save_draft,
    take_back_asking,
    withdraw_quote,
)
from shop.orders.models import Asking, LineOf, QuoteState
from tests.visitor import making

LINE = LineFacts(LineOf.HOURS, "Wiring", 6000, 8000, 4200, 2000)


@pytest.fixture
def quote(build: Build, order: Order, owner: User, now: datetime) -> Quote:
    return offered(order, owner, now)


@pytest.fixture
def asking(build: Build, owner: User, now: datetime) -> Asking:
    words = "May we warm the joint? The black may dull."
    return ask_consent(build.item, "heat", words, token=uuid4(), by=owner, now=now)


def offered(order: Order, by: User, now: datetime) -> Quote:
    draft = draft_quote(order, token=uuid4(), by=by, now=now)
    save_draft(draft.pk, [LINE], {}, seen=quote_seen(draft), by=by, now=now)
    quoting.send(draft.pk, seen=quote_seen(draft), by=by, now=now)
    return Quote.objects.get(pk=draft.pk)


def text(client: Client, url: str) -> str:
    return client.get(url).content.decode()


def test_the_page_shows_what_it_comes_to_and_the_words_that_bind(
    stranger: Client, url: str, quote: Quote
) -> None:
    page = text(stranger, url)
    for words in ("252.00", "336.00", "403.20", "Wiring", "Friday 25 December", "Yes, I agree"):
        assert words in page
    assert "We never go above" in page


def test_a_draft_is_nobodys_to_see(
    stranger: Client, url: str, build: Build, order: Order, owner: User, now: datetime
) -> None:
    draft = draft_quote(order, token=uuid4(), by=owner, now=now)
    save_draft(draft.pk, [LINE], {}, seen=quote_seen(draft), by=owner, now=now)
    assert "Wiring" not in text(stranger, url)
    stranger.post(f"{url}quote/1/", {"said": "yes"})
    draft.refresh_from_db()
    assert draft.state == QuoteState.DRAFT


def test_one_tap_on_yes_binds_and_the_shop_is_told_without_a_figure(
    stranger: Client, url: str, quote: Quote, build: Build
) -> None:
    answer = stranger.post(f"{url}quote/1/", {"said": "yes"})
    assert (answer.status_code, answer["Location"]) == (303, f"{url}#quote")
    kept = Answer.objects.get(item=build.item)
    assert (kept.is_yes, kept.how, kept.by_customer, kept.text) == (True, "page", True, quote.text)
    notice = Message.objects.get(key=f"quote-notice:{quote.pk}")
    assert "accepts" in notice.subject
    assert "336" not in notice.subject + notice.body
    assert "Agreed on 25 November" in text(stranger, url)


def test_two_taps_are_one_yes_and_one_notice(stranger: Client, url: str, quote: Quote) -> None:
    for _ in range(2):
        assert stranger.post(f"{url}quote/1/", {"said": "yes"}).status_code == 303
    assert Answer.objects.count() == 1
    assert Message.objects.filter(key__startswith="quote-notice").count() == 1


def test_a_no_is_kept_with_why(stranger: Client, url: str, quote: Quote) -> None:
    stranger.post(f"{url}quote/1/", {"said": "no", "words": "too dear for me"})
    quote.refresh_from_db()
    assert (quote.state, quote.answer_words) == (QuoteState.DECLINED, "too dear for me")
    assert "You said no on 25 November" in text(stranger, url)


def test_accepted_after_it_was_withdrawn_nothing_is_kept_and_the_page_says_so(
    stranger: Client, url: str, quote: Quote, owner: User, now: datetime
) -> None:
    withdraw_quote(quote.pk, by=owner, now=now)
    answer = stranger.post(f"{url}quote/1/", {"said": "yes"})
    assert answer.status_code == 409
    assert "This quote was withdrawn" in answer.content.decode()
    assert not Answer.objects.exists()


def test_the_old_revision_on_a_second_phone_is_told_and_the_new_one_shown(
    stranger: Client, url: str, quote: Quote, owner: User, now: datetime
) -> None:
    revised = revise_quote(quote.pk, by=owner, now=now)
    quoting.send(revised.pk, seen=quote_seen(revised), by=owner, now=now)
    page = stranger.post(f"{url}quote/1/", {"said": "yes"}).content.decode()
    assert "a newer one may stand in its place" in page
    assert f"{url}quote/2/" in page
    assert not Answer.objects.exists()


def test_run_out_it_cannot_be_accepted(
    stranger: Client, url: str, quote: Quote, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builds.visitor.views.now", lambda: now + timedelta(days=31))
    assert "This quote has run out" in text(stranger, url)
    answer = stranger.post(f"{url}quote/1/", {"said": "yes"})
    assert "valid until 25 December 2026" in answer.content.decode()
    assert not Answer.objects.exists()


def test_what_is_no_answer_is_none(stranger: Client, url: str, quote: Quote) -> None:
    for said in ({}, {"said": "perhaps"}):
        assert stranger.post(f"{url}quote/1/", said).status_code == 303
    assert stranger.get(f"{url}quote/1/").status_code == 303
    quote.refresh_from_db()
    assert quote.state == QuoteState.SENT


def test_another_order_answers_nothing_here(
    stranger: Client, quote: Quote, order: Order, now: datetime
) -> None:
    other = making.order(order.customer, now, number="2026-032")
    path = f"/your/order/{making.token(making.link(other, now))}/quote/1/"
    stranger.post(path, {"said": "yes"})
    quote.refresh_from_db()
    assert quote.state == QuoteState.SENT


def test_a_wrong_link_answers_nothing(stranger: Client, url: str, quote: Quote) -> None:
    assert stranger.post("/your/order/nobody-nothing/quote/1/", {"said": "yes"}).status_code == 404


def test_a_question_while_a_quote_is_out_names_it(stranger: Client, url: str, quote: Quote) -> None:
    stranger.post(url, {"words": "Is the blade in it?", "once": str(uuid4())})
    assert Message.objects.get(body="Is the blade in it?").subject.startswith(
        "Question about Quote 2026-031/1"
    )


def test_each_consent_is_asked_and_answered_by_itself(
    stranger: Client, url: str, asking: Asking, build: Build, owner: User, now: datetime
) -> None:
    drill = ask_consent(build.item, "drilling", "A new hole?", token=uuid4(), by=owner, now=now)
    page = text(stranger, url)
    assert "The black may dull." in page
    assert "A new hole?" in page
    stranger.post(f"{url}consent/{asking.pk}/", {"said": "yes"})
    kept = Answer.objects.get()
    assert (kept.kind, kept.is_yes) == ("heat", True)
    assert kept.text == "May we warm the joint? The black may dull.\n\nYes."
    page = text(stranger, url)
    assert "The black may dull." not in page
    stranger.post(f"{url}consent/{drill.pk}/", {"said": "no"})
    assert Answer.objects.get(kind="drilling").is_yes is False


def test_a_consent_taken_back_is_answered_by_nobody(
    stranger: Client, url: str, asking: Asking, owner: User, now: datetime
) -> None:
    take_back_asking(asking.pk, by=owner, now=now)
    answer = stranger.post(f"{url}consent/{asking.pk}/", {"said": "yes"})
    assert answer.status_code == 409
    assert not Answer.objects.exists()


def test_a_consent_answered_twice_is_kept_once(stranger: Client, url: str, asking: Asking) -> None:
    for _ in range(2):
        assert stranger.post(f"{url}consent/{asking.pk}/", {"said": "yes"}).status_code == 303
    assert stranger.post(f"{url}consent/{asking.pk}/", {"said": "no"}).status_code == 409
    assert Answer.objects.count() == 1


def test_a_german_customers_no_holds_the_build_in_the_words_of_the_english_house(
    stranger: Client, url: str, build: Build, quote: Quote, owner: User, now: datetime
) -> None:
    quote.order.customer.language = "de"
    quote.order.customer.save()
    stranger.post(f"{url}quote/1/", {"said": "yes"})
    draft = quoting.start_change(
        build, because="seized", minutes=55, token=uuid4(), by=owner, now=now
    )
    save_draft(draft.pk, [LINE], {}, seen=quote_seen(draft), by=owner, now=now)
    quoting.send(draft.pk, seen=quote_seen(draft), by=owner, now=now)
    assert '<html lang="de">' in text(stranger, url)
    stranger.post(f"{url}quote/{draft.revision}/", {"said": "no"})
    held = build.holds.get(ended_at=None)
    assert held.words == "They said no to the change order: how does it go on?"
