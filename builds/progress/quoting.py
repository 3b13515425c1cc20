"""Quotes as builds feel them: told to the customer, and holding what they change."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.holding import end_with_quote, hold, next_asking
from builds.progress.linking import order_link
from builds.progress.models import Build, Hold
from builds.progress.states import HoldReason, Turn
from shop.house.queries import house
from shop.house.speech import speaking_to_the_shop
from shop.orders import actions as orders
from shop.orders.models import Order, Quote, QuoteKind, QuoteState
from shop.people.models import User
from shop.people.speech import speaking_to
from shop.post.actions import queue_message
from shop.post.models import Message, Occasion
from shop.post.queries import wording_of
from shop.post.wording import fill_text
from shop.web.dated import dated


@transaction.atomic
def start_change(
    build: Build, *, because: str, minutes: int | None, token: UUID, by: User, now: datetime
) -> Quote:
    """Begin a change order from what was found on a build; it holds the build until answered.

    :raises shop.orders.actions.Refused: a quote of its order waits for its answer.
    """
    draft = orders.draft_quote(
        build.item.order, token=token, by=by, now=now, because=because, minutes_so_far=minutes
    )
    if draft.state == QuoteState.DRAFT:
        with speaking_to_the_shop():
            words = _("A change order: to be priced and sent")
        _hold(build, draft, Turn.SHOP, words, by, now)
    return draft


@transaction.atomic
def send(quote_id: int, *, seen: int, by: User, now: datetime) -> Message | None:
    """Send a quote: fix it, tell the customer, and turn what it holds to them.

    :returns: the message; None where the customer has no mail address.
    """
    quote = orders.send_quote(quote_id, seen=seen, by=by, now=now)
    for held in _held_by(quote, Turn.SHOP):
        end_with_quote(held, by, now)
        with speaking_to_the_shop():
            words = _("The answer to a change order")
        _hold(held.build, quote, Turn.CUSTOMER, words, by, now)
    return _tell(quote, by, now) if quote.order.customer.email else None


@transaction.atomic
def answer(
    quote_id: int, *, is_yes: bool, how: str, words: str, by: User | None, now: datetime
) -> Quote:
    """Keep the answer to a quote. A yes ends what it held; a no to a change is the shop's turn."""
    quote = orders.answer_quote(quote_id, is_yes=is_yes, how=how, words=words, by=by, now=now)
    if not is_yes and quote.kind == QuoteKind.CHANGE:
        with speaking_to_the_shop():  # the staff read it, whoever taps
            said_no = _("They said no to the change order: how does it go on?")
        for held in Hold.objects.filter(quote=quote, ended_at=None).select_related("build"):
            end_with_quote(held, held.put_by, now)
            _hold(held.build, None, Turn.SHOP, said_no, held.put_by, now)
    return quote


@transaction.atomic
def revise(quote_id: int, *, by: User, now: datetime) -> Quote:
    """Withdraw what waits and write the next revision; what it held waits for us again."""
    old = Quote.objects.get(pk=quote_id)
    held = list(_held_by(old))
    draft = orders.revise_quote(quote_id, by=by, now=now)
    for each in held if draft.pk != old.pk else []:
        with speaking_to_the_shop():
            words = _("A change order: to be priced and sent")
        _hold(each.build, draft, Turn.SHOP, words, by, now)
    return draft


def _held_by(quote: Quote, turn: str = "") -> list[Hold]:
    found = Hold.objects.filter(quote=quote, ended_at=None).select_related("build", "quote")
    return list(found.filter(turn=turn) if turn else found)


def _hold(
    build: Build, quote: Quote | None, turn: str, words: str, by: User, now: datetime
) -> None:
    fields: dict[str, object] = {
        "reason": HoldReason.ANSWER, "turn": turn, "words": words, "before": "",
        "chase_on": next_asking(0, now), "quote": quote,
    }  # fmt: skip
    if build.is_open:
        hold(build.pk, fields=fields, by=by, now=now)


def _tell(quote: Quote, by: User, now: datetime) -> Message:
    """One mail a quote. No figure stands in it: the bench reads the outbox too."""
    occasion = Occasion.CHANGE if quote.kind == QuoteKind.CHANGE else Occasion.QUOTE
    hilts = Build.objects.filter(item__order=quote.order, hilt__isnull=False)
    names = [build.hilt.name for build in hilts.select_related("hilt") if build.hilt]
    with speaking_to(quote.order.customer):
        known = {
            "hilt": names[0] if len(names) == 1 else _("your order"),
            "day": dated(quote.valid_until, "long") if quote.valid_until else "",
        }
    return _mail(f"quote:{quote.pk}", occasion, quote.order, known, by, now)


def _mail(
    key: str, occasion: str, order: Order, known: dict[str, str], by: User, now: datetime
) -> Message:
    of_order = {"name": order.customer.called, "order": order.number, "shop": house().name}
    with speaking_to(order.customer):
        text = fill_text(wording_of(occasion), of_order | known)
    return queue_message(
        key=key,
        occasion=occasion,
        about=f"order:{order.pk}",
        customer=order.customer,
        to=order.customer.email,
        subject=text.subject,
        body=text.body,
        link=order_link(order, now),
        made_by=by,
        now=now,
    )


@transaction.atomic
def ask_consent(
    build: Build, kind: str, words: str, *, token: UUID, by: User, now: datetime
) -> Message | None:
    """Ask a build's customer for one consent, on the page and by a mail that leads there.

    :returns: the message; None where the customer has no mail address.
    """
    asked = orders.ask_consent(build.item, kind, words, token=token, by=by, now=now)
    order = build.item.order
    if not order.customer.email:
        return None
    with speaking_to(order.customer):
        known = {"hilt": _hilt_of(build)}
    return _mail(f"consent:{asked.pk}", Occasion.CONSENT, order, known, by, now)


def _hilt_of(build: Build) -> str:
    return build.hilt.name if build.hilt else _("your blade")
