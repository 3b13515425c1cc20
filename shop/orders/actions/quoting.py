"""Quotes: written, sent, answered, withdrawn, written anew. What was sent never changes."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from shop.clock import day_in
from shop.history.actions import record
from shop.history.queries import last_about
from shop.house.models import House
from shop.house.queries import house
from shop.orders.actions.placing import record_answer
from shop.orders.models import (
    AnswerKind,
    Item,
    ItemKind,
    Order,
    Quote,
    QuoteKind,
    QuoteLine,
    QuoteState,
)
from shop.orders.queries.figures import figures, rule_of
from shop.orders.queries.wording import text_of
from shop.orders.refusals import Overtaken, Refused
from shop.people.models import User
from shop.people.speech import speaking_to
from shop.stores.models import Kit, Part
from shop.web.dated import dated


@dataclass(frozen=True)
class LineFacts:
    """A line as it was typed."""

    kind: str
    words: str
    low_thousandths: int
    quantity_thousandths: int
    each_minor: int
    tax_hundredths: int
    item: Item | None = None
    part: Part | None = None
    kit: Kit | None = None


@transaction.atomic
def draft_quote(
    order: Order,
    *,
    token: UUID,
    by: User,
    now: datetime,
    because: str = "",
    minutes_so_far: int | None = None,
) -> Quote:
    """Begin a quote, or the next revision with the lines of the newest; one open an order.

    After a quote was accepted, the next one is a change order. The same token is the same draft;
    where a draft is there already, that is the one.

    :raises Refused: one waits for its answer.
    """
    order = Order.objects.select_for_update(of=("self",)).get(pk=order.pk)
    made = Quote.objects.filter(order=order, token=token).first()
    there = order.quotes.filter(state__in=[QuoteState.DRAFT, QuoteState.SENT]).first()
    if made:
        return made
    if there and there.state == QuoteState.DRAFT:
        return _told_why(there, because, minutes_so_far)
    if there:
        raise Refused(_("A quote waits for its answer. Revise that one, or withdraw it first."))
    quote = _begin(order, token, by, now, because, minutes_so_far)
    record("quote_begun", f"order:{order.pk}", by, now, revision=quote.revision)
    return quote


def _told_why(quote: Quote, because: str, minutes: int | None) -> Quote:
    if because and not quote.because:
        quote.because, quote.minutes_so_far = because, minutes
        quote.save(update_fields=["because", "minutes_so_far"])
    return quote


def _begin(
    order: Order, token: UUID, by: User, now: datetime, because: str, minutes: int | None
) -> Quote:
    shop, account = house(), getattr(order.customer, "account", None)
    newest = order.quotes.order_by("-revision").first()
    was_agreed = order.quotes.filter(state=QuoteState.ACCEPTED).exists()
    own_discount = account.discount_hundredths if account and not account.closed_at else 0
    like: dict[str, Any] = {"discount_hundredths": own_discount}
    if newest:
        like = {name: getattr(newest, name) for name in ("discount_hundredths", "discount_minor")}
    last = order.quotes.aggregate(last=Max("revision"))["last"] or 0
    quote = Quote.objects.create(
        order=order,
        revision=last + 1,
        token=token,
        kind=QuoteKind.CHANGE if was_agreed else QuoteKind.QUOTE,
        because=because,
        minutes_so_far=minutes,
        currency=shop.currency,
        prices=shop.prices,
        rounding=shop.rounding,
        made_at=now,
        made_by=by,
        **like,
    )
    if newest:
        _copy_lines(newest, quote)
        _work_out(quote, shop, {})
        quote.save()
    return quote


def _copy_lines(source: Quote, to: Quote) -> None:
    for line in source.lines.all():
        line.pk, line._state.adding, line.quote = None, True, to
        line.save()


@transaction.atomic
def save_draft(
    quote_id: int,
    lines: Sequence[LineFacts],
    terms: dict[str, Any],
    *,
    seen: int,
    by: User,
    now: datetime,
) -> Quote:
    """Write a draft's lines and terms down, and work out what it comes to.

    :param terms: discount_hundredths, discount_minor, because, minutes_so_far, ceiling_minor and
        deposit_minor (None: by the shop's rule), valid_until (None: by the shop's rule).
    :param seen: the newest deed that the person had before them (``quote_seen``).
    :raises Overtaken: somebody changed or sent it since.
    """
    quote = _locked(quote_id)
    _still_draft(quote)
    if quote_seen(quote) != seen:
        raise Overtaken(_overtaken(quote))
    quote.lines.all().delete()
    for position, line in enumerate(lines):
        QuoteLine.objects.create(quote=quote, position=position, **vars(line))
    for name in ("discount_hundredths", "discount_minor", "because", "minutes_so_far"):
        if name in terms:
            setattr(quote, name, terms[name])
    _work_out(quote, house(), terms)
    quote.valid_until = terms.get("valid_until")
    quote.save()
    record("quote_written", quote.about, by, now, revision=quote.revision)
    return quote


def _work_out(quote: Quote, shop: House, terms: dict[str, Any]) -> None:
    """Low, high, tax, ceiling and deposit from the lines; the shop's rule where none is typed."""
    try:
        sums = figures(list(quote.lines.order_by("position", "id")), quote)
    except ValueError as error:
        raise Refused(_("The discount is more than the whole at its low figure.")) from error
    quote.low_minor, quote.high_minor, quote.tax_minor = sums.low, sums.high, sums.tax
    by_rule = rule_of(quote, shop)
    ceiling, deposit = terms.get("ceiling_minor"), terms.get("deposit_minor")
    quote.ceiling_minor = by_rule[0] if ceiling is None else ceiling
    quote.deposit_minor = by_rule[1] if deposit is None else deposit


@transaction.atomic
def send_quote(quote_id: int, *, seen: int, by: User, now: datetime) -> Quote:
    """Fix a draft's words and figures, and let it wait for its answer. Sent twice is sent once.

    :raises Refused: nothing is on it, or its terms cannot hold.
    :raises Overtaken: somebody changed it since.
    """
    quote = _locked(quote_id)
    if quote.state == QuoteState.SENT:
        return quote
    _still_draft(quote)
    if quote_seen(quote) != seen:
        raise Overtaken(_overtaken(quote))
    shop, lines = house(), list(quote.lines.order_by("position", "id"))
    today = day_in(shop.zone, now)
    quote.valid_until = quote.valid_until or today + timedelta(days=shop.quote_days)
    _may_go(quote, lines, shop, now)
    sums = figures(lines, quote)
    with speaking_to(quote.order.customer):
        quote.text = text_of(quote, lines, sums, shop.name, today)
    quote.state, quote.sent_at = QuoteState.SENT, now
    quote.save()
    verb = "change_sent" if quote.kind == QuoteKind.CHANGE else "quote_sent"
    record(verb, f"order:{quote.order_id}", by, now, revision=quote.revision)
    return quote


def _may_go(quote: Quote, lines: Sequence[QuoteLine], shop: House, now: datetime) -> None:
    if not lines:
        raise Refused(_("Nothing is on it yet. Put a line on it first."))
    if not quote.high_minor:
        raise Refused(_("It comes to nothing. Look at the prices."))
    if quote.ceiling_minor is not None and quote.ceiling_minor < quote.high_minor:
        raise Refused(_("The ceiling lies under the high figure. Raise it, or leave it empty."))
    if quote.deposit_minor > quote.high_minor:
        raise Refused(_("The deposit is more than the whole."))
    if quote.valid_until and quote.valid_until < day_in(shop.zone, now):
        raise Refused(_("Its last day is past. Choose another."))
    if quote.kind == QuoteKind.CHANGE and not quote.because:
        raise Refused(_("Say what was found and what changes: the customer decides by it."))


@transaction.atomic
def answer_quote(
    quote_id: int,
    *,
    is_yes: bool,
    how: str,
    now: datetime,
    words: str = "",
    by: User | None = None,
) -> Quote:
    """Keep the answer to a quote; a yes is kept for each job in the quote's exact words.

    The same answer twice is one. Nothing else makes a yes, the passing of time least of all.

    :raises Refused: it has run out; the shop can renew it.
    :raises Overtaken: it was withdrawn, or answered otherwise, first.
    """
    quote = _locked(quote_id)
    wanted = QuoteState.ACCEPTED if is_yes else QuoteState.DECLINED
    if quote.state == wanted:
        return quote
    if quote.state != QuoteState.SENT:
        raise Overtaken(_why_not(quote))
    if is_yes and quote.valid_until and quote.valid_until < day_in(house().zone, now):
        raise Refused(
            _("This quote was valid until %s. Ask for a new one: nothing was agreed.")
            % dated(quote.valid_until, "full")
        )
    quote.state, quote.answered_at, quote.answered_how = wanted, now, how
    quote.answer_words, quote.recorded_by = words.strip(), by
    quote.save()
    _bind(quote, is_yes, how, by, now)
    verb = "quote_accepted" if is_yes else "quote_declined"
    record(verb, f"order:{quote.order_id}", by, now, revision=quote.revision, how=how)
    return quote


def _bind(quote: Quote, is_yes: bool, how: str, by: User | None, now: datetime) -> None:
    # A no to a change leaves what was agreed before as it is.
    if not is_yes and quote.kind == QuoteKind.CHANGE:
        return
    said = [quote.text, quote.answer_words] if quote.answer_words else [quote.text]
    for item in Item.objects.filter(order=quote.order_id, kind=ItemKind.JOB).order_by("pk"):
        record_answer(
            item, kind=AnswerKind.AGREED, is_yes=is_yes, text="\n\n".join(said), how=how,
            by=by, now=now,
        )  # fmt: skip


def _why_not(quote: Quote) -> str:
    if quote.state == QuoteState.WITHDRAWN:
        return _("This quote was withdrawn; a newer one may stand in its place. Nothing was kept.")
    if quote.state == QuoteState.ACCEPTED:
        return _("This quote was accepted already. Write to us if that is to change.")
    if quote.state == QuoteState.DECLINED:
        return _("This quote was declined already. Write to us if that is to change.")
    return _("This quote is still being written. Nothing was kept.")


@transaction.atomic
def withdraw_quote(quote_id: int, *, by: User, now: datetime) -> Quote:
    """Take an open quote back: nobody can answer it any more. Twice is once.

    :raises Overtaken: it was answered first.
    """
    quote = _locked(quote_id)
    if quote.state == QuoteState.WITHDRAWN:
        return quote
    if quote.state not in {QuoteState.DRAFT, QuoteState.SENT}:
        raise Overtaken(_first_answered(quote))
    quote.state, quote.answered_at = QuoteState.WITHDRAWN, now
    quote.save()
    record("quote_withdrawn", f"order:{quote.order_id}", by, now, revision=quote.revision)
    return quote


@transaction.atomic
def revise_quote(quote_id: int, *, by: User, now: datetime) -> Quote:
    """Withdraw what waits and begin the next revision with its lines. Twice gives the same draft.

    :raises Overtaken: it was answered first.
    """
    quote = _locked(quote_id)
    if quote.state == QuoteState.DRAFT:
        return quote
    quote = withdraw_quote(quote_id, by=by, now=now)
    return draft_quote(
        quote.order, token=uuid4(), by=by, now=now, because=quote.because,
        minutes_so_far=quote.minutes_so_far,
    )  # fmt: skip


def quote_seen(quote: Quote) -> int:
    """The newest writing of a draft, for a form to carry."""
    newest = last_about(quote.about)
    return newest.pk if newest else 0


def _locked(quote_id: int) -> Quote:
    # The order first, as whoever begins a quote does: two deeds cannot wait for each other.
    order_id = Quote.objects.values_list("order", flat=True).get(pk=quote_id)
    Order.objects.select_for_update(of=("self",)).get(pk=order_id)
    rows = Quote.objects.select_for_update(of=("self",)).select_related("order__customer")
    return rows.get(pk=quote_id)


def _still_draft(quote: Quote) -> None:
    if quote.state == QuoteState.DRAFT:
        return
    if quote.state == QuoteState.SENT:
        raise Overtaken(_("It was sent meanwhile. Nothing was changed."))
    raise Overtaken(_first_answered(quote))


def _first_answered(quote: Quote) -> str:
    return _("It is %s already. Nothing was changed.") % quote.get_state_display()


def _overtaken(quote: Quote) -> str:
    newest = last_about(quote.about)
    who = newest.actor.name if newest and newest.actor else _("Somebody")
    return _("%s changed it meanwhile. Nothing of yours was kept.") % who
