"""Quotes: worked out, fixed as they are sent, answered once, never by silence."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from shop.models import Answer, House, Item, Order, Quote, QuoteLine, User
from shop.orders.actions import (
    LineFacts,
    Overtaken,
    Refused,
    answer_quote,
    draft_quote,
    quote_seen,
    revise_quote,
    save_draft,
    send_quote,
    withdraw_quote,
)
from shop.orders.models import Account, LineOf, QuoteKind, QuoteState
from shop.orders.queries import agreed, kit_price, part_price, quotes_told, running_out
from shop.stores.models import Kit, Part
from tests.makers import make_item, make_part

HOURS = LineFacts(LineOf.HOURS, "Wiring", 6000, 8500, 4200, 2000)
BOARD = LineFacts(LineOf.EXTRA, "Board", 1000, 1000, 19_800, 2000)


@pytest.fixture
def item(owner: User, now: datetime, house: House) -> Item:
    House.objects.update(
        currency="GBP", tax_hundredths=2000, hour_minor=4200, deposit_hundredths=5000
    )
    return make_item(owner, now)


@pytest.fixture
def order(item: Item) -> Order:
    return item.order


def drafted(order: Order, by: User, now: datetime, *lines: LineFacts, **terms: Any) -> Quote:
    draft = draft_quote(order, token=uuid4(), by=by, now=now)
    kept = lines or (HOURS, BOARD)
    return save_draft(draft.pk, kept, terms, seen=quote_seen(draft), by=by, now=now)


def sent(order: Order, by: User, now: datetime, *lines: LineFacts, **terms: Any) -> Quote:
    draft = drafted(order, by, now, *lines, **terms)
    return send_quote(draft.pk, seen=quote_seen(draft), by=by, now=now)


def yes(quote: Quote, now: datetime, **more: Any) -> Quote:
    return answer_quote(quote.pk, is_yes=True, how="page", now=now, **more)


def test_low_high_ceiling_and_deposit_follow_from_lines_and_rules(
    order: Order, owner: User, now: datetime
) -> None:
    draft = drafted(order, owner, now)
    # 6 h and 8.5 h at 42.00, and 198.00; a fifth above; half before.
    assert (draft.low_minor, draft.high_minor) == (45_000, 55_500)
    assert (draft.ceiling_minor, draft.deposit_minor) == (66_600, 27_750)
    assert draft.tax_minor == 9250  # prices hold it: 555.00 × 20 / 120


def test_what_is_typed_stands_before_the_rule(order: Order, owner: User, now: datetime) -> None:
    draft = drafted(order, owner, now, ceiling_minor=60_000, deposit_minor=0)
    assert (draft.ceiling_minor, draft.deposit_minor) == (60_000, 0)


def test_a_discount_above_the_low_figure_is_refused(
    order: Order, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="more than the whole"):
        drafted(order, owner, now, discount_minor=45_001)


def test_a_trade_customer_begins_with_the_accounts_discount(
    order: Order, owner: User, now: datetime
) -> None:
    Account.objects.create(customer=order.customer, discount_hundredths=1000)
    assert draft_quote(order, token=uuid4(), by=owner, now=now).discount_hundredths == 1000


def test_sent_it_keeps_its_exact_words(order: Order, owner: User, now: datetime) -> None:
    quote = sent(order, owner, now)
    for words in ("Wiring (6 to 8.5 hours)", "£450.00 to £555.00", "£666.00 without asking"):
        assert words in quote.text
    assert quote.valid_until == date(2026, 12, 25)


@pytest.mark.parametrize(
    "change", [{"high_minor": 1}, {"text": "less"}, {"ceiling_minor": 9_999_999}]
)
def test_the_database_refuses_to_rewrite_what_was_sent(
    order: Order, owner: User, now: datetime, change: dict[str, Any]
) -> None:
    quote = sent(order, owner, now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.objects.filter(pk=quote.pk).update(**change)


def test_the_database_refuses_to_change_the_lines_of_what_was_sent(
    order: Order, owner: User, now: datetime
) -> None:
    line = QuoteLine.objects.filter(quote=sent(order, owner, now)).first()
    assert line is not None
    with pytest.raises(IntegrityError), transaction.atomic():
        QuoteLine.objects.filter(pk=line.pk).update(each_minor=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        line.delete()
    line.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        line.save(force_insert=True)


def test_the_database_refuses_to_change_an_answer(order: Order, owner: User, now: datetime) -> None:
    quote = yes(sent(order, owner, now), now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Quote.objects.filter(pk=quote.pk).update(state=QuoteState.DECLINED)


def test_a_yes_is_kept_for_each_job_in_the_words_that_were_sent(
    order: Order, item: Item, owner: User, now: datetime
) -> None:
    quote = yes(sent(order, owner, now), now)
    answer = Answer.objects.get(item=item, kind="agreed")
    assert (answer.is_yes, answer.text, answer.how) == (True, quote.text, "page")
    assert agreed([order.pk]) == {order.pk: quote}


def test_two_taps_are_one_yes(order: Order, item: Item, owner: User, now: datetime) -> None:
    quote = sent(order, owner, now)
    yes(quote, now)
    yes(quote, now + timedelta(seconds=2))
    assert Answer.objects.filter(item=item).count() == 1


def test_a_no_after_a_yes_is_told_that_it_was_accepted(
    order: Order, owner: User, now: datetime
) -> None:
    quote = yes(sent(order, owner, now), now)
    with pytest.raises(Overtaken, match="accepted already"):
        answer_quote(quote.pk, is_yes=False, how="page", now=now)


def test_what_was_withdrawn_cannot_be_accepted(
    order: Order, item: Item, owner: User, now: datetime
) -> None:
    quote = sent(order, owner, now)
    withdraw_quote(quote.pk, by=owner, now=now)
    with pytest.raises(Overtaken, match="withdrawn"):
        yes(quote, now)
    assert not Answer.objects.filter(item=item).exists()


def test_what_was_accepted_cannot_be_withdrawn(order: Order, owner: User, now: datetime) -> None:
    quote = yes(sent(order, owner, now), now)
    with pytest.raises(Overtaken, match="accepted already"):
        withdraw_quote(quote.pk, by=owner, now=now)


def test_an_older_revision_cannot_be_accepted(order: Order, owner: User, now: datetime) -> None:
    old = sent(order, owner, now)
    draft = revise_quote(old.pk, by=owner, now=now)
    assert [line.words for line in draft.lines.all()] == ["Wiring", "Board"]
    assert draft.revision == 2
    with pytest.raises(Overtaken, match="withdrawn"):
        yes(old, now)


def test_revised_twice_it_is_one_draft(order: Order, owner: User, now: datetime) -> None:
    old = sent(order, owner, now)
    first, second = (revise_quote(old.pk, by=owner, now=now) for _ in range(2))
    assert first == second


def test_on_its_last_day_it_holds_and_a_day_later_it_has_run_out(
    order: Order, owner: User, now: datetime
) -> None:
    quote = sent(order, owner, now, valid_until=now.date() + timedelta(days=2))
    with pytest.raises(Refused, match="valid until 27 November 2026"):
        yes(quote, now + timedelta(days=3))
    assert yes(quote, now + timedelta(days=2)).state == QuoteState.ACCEPTED


def test_a_no_can_come_after_it_has_run_out(order: Order, owner: User, now: datetime) -> None:
    quote = sent(order, owner, now)
    late = answer_quote(quote.pk, is_yes=False, how="page", now=now + timedelta(days=90))
    assert late.state == QuoteState.DECLINED


def test_silence_is_never_a_yes(order: Order, item: Item, owner: User, now: datetime) -> None:
    quote = sent(order, owner, now)
    later = now.date() + timedelta(days=28)
    assert list(running_out(later)) == [quote]
    quote.refresh_from_db()
    assert quote.state == QuoteState.SENT
    assert not Answer.objects.filter(item=item).exists()


def test_after_a_yes_the_next_is_a_change_with_all_lines_and_the_deposit_agreed(
    order: Order, owner: User, now: datetime
) -> None:
    yes(sent(order, owner, now), now)
    change = draft_quote(
        order, token=uuid4(), by=owner, now=now, because="stuck", minutes_so_far=50
    )
    assert (change.kind, change.revision, change.lines.count()) == (QuoteKind.CHANGE, 2, 2)
    more = replace(HOURS, words="Free the joint", low_thousandths=1000, quantity_thousandths=3000)
    saved = save_draft(
        change.pk, [HOURS, BOARD, more], {"because": "stuck"},
        seen=quote_seen(change), by=owner, now=now,
    )  # fmt: skip
    assert (saved.high_minor, saved.deposit_minor) == (68_100, 27_750)


def test_a_no_to_a_change_leaves_what_was_agreed(
    order: Order, item: Item, owner: User, now: datetime
) -> None:
    first = yes(sent(order, owner, now), now)
    change = draft_quote(order, token=uuid4(), by=owner, now=now, because="stuck")
    send_quote(change.pk, seen=quote_seen(change), by=owner, now=now)
    answer_quote(change.pk, is_yes=False, how="page", now=now, words="too dear")
    assert agreed([order.pk]) == {order.pk: first}
    assert [answer.is_yes for answer in Answer.objects.filter(item=item)] == [True]


def test_the_customer_reads_the_change_and_what_was_agreed_before_and_no_draft(
    order: Order, owner: User, now: datetime
) -> None:
    yes(sent(order, owner, now), now)
    change = draft_quote(order, token=uuid4(), by=owner, now=now, because="stuck")
    assert [each.quote.revision for each in quotes_told(order, now.date())] == [1]
    send_quote(change.pk, seen=quote_seen(change), by=owner, now=now)
    assert [each.quote.revision for each in quotes_told(order, now.date())] == [2, 1]


@pytest.mark.parametrize(
    ("lines", "terms", "why"),
    [
        ([], {}, "Nothing is on it"),
        ([replace(BOARD, each_minor=0)], {}, "comes to nothing"),
        ([BOARD], {"ceiling_minor": 100}, "under the high figure"),
        ([BOARD], {"deposit_minor": 20_000}, "more than the whole"),
        ([BOARD], {"valid_until": date(2026, 11, 24)}, "last day is past"),
    ],
)
def test_what_cannot_hold_is_not_sent(
    order: Order,
    owner: User,
    now: datetime,
    lines: list[LineFacts],
    terms: dict[str, Any],
    why: str,
) -> None:
    draft = draft_quote(order, token=uuid4(), by=owner, now=now)
    save_draft(draft.pk, lines, terms, seen=quote_seen(draft), by=owner, now=now)
    with pytest.raises(Refused, match=why):
        send_quote(draft.pk, seen=quote_seen(draft), by=owner, now=now)


def test_the_second_tablet_is_told_who_was_first(order: Order, owner: User, now: datetime) -> None:
    draft = draft_quote(order, token=uuid4(), by=owner, now=now)
    seen = quote_seen(draft)
    save_draft(draft.pk, [HOURS], {}, seen=seen, by=owner, now=now)
    with pytest.raises(Overtaken, match=owner.name):
        save_draft(draft.pk, [BOARD], {}, seen=seen, by=owner, now=now)
    with pytest.raises(Overtaken, match=owner.name):
        send_quote(draft.pk, seen=seen, by=owner, now=now)


def test_one_open_quote_an_order(order: Order, owner: User, now: datetime) -> None:
    draft = draft_quote(order, token=uuid4(), by=owner, now=now)
    assert draft_quote(order, token=uuid4(), by=owner, now=now) == draft
    save_draft(draft.pk, [BOARD], {}, seen=quote_seen(draft), by=owner, now=now)
    send_quote(draft.pk, seen=quote_seen(draft), by=owner, now=now)
    with pytest.raises(Refused, match="waits for its answer"):
        draft_quote(order, token=uuid4(), by=owner, now=now)


def test_a_kit_comes_to_its_parts_and_hours_and_names_what_has_no_price(
    owner: User, now: datetime
) -> None:
    board, wire = make_part(owner, now), make_part(owner, now, kind="wire")
    free = make_part(owner, now, name="Gift")
    Part.objects.filter(pk=board.pk).update(price_minor=5000)
    Part.objects.filter(pk=wire.pk).update(price_minor=300, counted="mm")
    kit = Kit.objects.create(name="Simple")
    kit.lines.create(part=board, quantity=2)
    kit.lines.create(part=wire, quantity=1500)
    kit.lines.create(part=free, quantity=1)
    kit.hours.create(stage="install", minutes=90)
    price = kit_price(kit, 4200)
    assert (price.minor, price.unpriced) == (10_000 + 450 + 6300, ["Gift"])
    assert part_price(free, 1) is None
