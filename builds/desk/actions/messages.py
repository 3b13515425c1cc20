"""Answers to customers' questions, and notes of what was said elsewhere."""

from datetime import datetime
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction

from builds.progress.linking import order_link
from builds.progress.models import Build
from shop.files.actions import keep
from shop.orders.models import Order
from shop.people.models import Customer, User
from shop.post.actions import log_said, queue_message
from shop.post.models import Message, Occasion, PrivateLink
from shop.post.wording import Text


@transaction.atomic
def answer(question: Message, text: Text, *, token: UUID, by: User, now: datetime) -> Message:
    """Mail an answer to whoever asked. The same token again sends nothing more.

    :raises Refused: there is no address to send to.
    """
    customer = question.customer
    return queue_message(
        key=f"answer:{question.pk}:{token}",
        occasion=Occasion.FREE,
        about=question.about,
        customer=customer,
        to=customer.email if customer else "",
        subject=text.subject,
        body=text.body,
        link=_link(question.about, now),
        made_by=by,
        now=now,
        answer_to=question,
    )


def note_said(
    about: str,
    *,
    token: UUID,
    how: str,
    how_words: str,
    said_at: datetime,
    words: str,
    screenshot: UploadedFile | None,
    question: Message | None,
    by: User,
    now: datetime,
) -> Message:
    """Note what was said elsewhere, with a screenshot if there is one; once for one token.

    The picture is kept before the row is written: a slow disk must not hold up other writers.

    :raises shop.files.actions.Refused: the screenshot is no picture.
    :raises shop.post.actions.Refused: the time is still to come.
    """
    kept = [keep(screenshot, now)] if screenshot else []
    return log_said(
        key=f"said:{token}",
        about=about,
        customer=customer_of(about),
        subject=how_words,
        body=words,
        how=how,
        said_at=said_at,
        blobs=kept,
        answer_to=question,
        made_by=by,
        now=now,
    )


def customer_of(about: str) -> Customer:
    """Whom a key is about: the customer of a build, of an order, or the customer itself."""
    kind, _colon, pk = about.partition(":")
    if kind == "build":
        return Build.objects.get(pk=pk).item.order.customer
    return Order.objects.get(pk=pk).customer if kind == "order" else Customer.objects.get(pk=pk)


def _link(about: str, now: datetime) -> PrivateLink | None:
    kind, _colon, pk = about.partition(":")
    if kind == "build":
        return order_link(Build.objects.get(pk=pk).item.order, now)
    return order_link(Order.objects.get(pk=pk), now) if kind == "order" else None
