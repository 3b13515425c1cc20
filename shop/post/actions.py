"""Puts messages into the outbox and takes them out again; the way in for other rooms."""

import secrets
from collections.abc import Collection, Iterable, Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from shop.files.models import Blob
from shop.history.actions import record
from shop.house.queries import house
from shop.people.models import Customer
from shop.post import headers
from shop.post.linking import keep_open_until, link_for, renew, revoke
from shop.post.models import Attachment, Message, Occasion, PrivateLink, State
from shop.post.queries import wording_of
from shop.post.refusals import Refused
from shop.post.typing_in import default_wording, save_email_url, save_mail_server, save_wording
from shop.post.wording import fill_text
from shop.web.wake import wake

__all__ = [
    "Refused", "default_wording", "keep_open_until", "link_for", "log_said", "queue_message",
    "receive", "renew", "revoke", "save_email_url", "save_mail_server", "save_wording",
    "send_test_mail", "settle", "try_again", "withdraw", "withdraw_by_cause",
]  # fmt: skip


@transaction.atomic
def queue_message(
    *,
    key: str,
    occasion: str,
    about: str,
    to: str,
    subject: str,
    body: str,
    now: datetime,
    customer: Customer | None = None,
    link: PrivateLink | None = None,
    made_by: Any = None,
    not_before: datetime | None = None,
    cause: str = "",
    blobs: Iterable[Blob] = (),
    documents: Mapping[str, Blob] | None = None,
    answer_to: Message | None = None,
) -> Message:
    """Put a message into the outbox. The same key again gives the message that is there.

    :param key: made from the cause, so that one cause speaks once.
    :param body: filled, but for ``$link``, which is put in when the message leaves.
    :param not_before: when it may leave, for what can still be undone.
    :param cause: the move or the line on order that caused it; taking that back withdraws it.
    :param documents: what goes along as it is, by the name of its file.
    :param answer_to: the customer's question that it answers; withdrawn, it answers nothing.
    :raises Refused: where ``to`` is no mail address or there is no text.
    """
    message, made = _row(
        key,
        state=State.QUEUED,
        occasion=occasion,
        about=about,
        customer=customer,
        to=headers.address(to),
        subject=headers.one_line(subject) or house().name,
        body=_some(body),
        link=link,
        made_by=made_by,
        made_at=now,
        not_before=not_before or now,
        cause=cause,
        answer_to=answer_to,
    )
    if made:
        _attach(message, blobs)
        for name, blob in (documents or {}).items():
            Attachment.objects.get_or_create(message=message, blob=blob, defaults={"name": name})
        record("message_queued", about, made_by, now, occasion=occasion, message=message.id)
        wake("shop.post.tasks.deliver", message.id)
    return message


@transaction.atomic
def log_said(
    *,
    about: str,
    body: str,
    made_by: Any,
    now: datetime,
    customer: Customer | None = None,
    subject: str = "",
    occasion: str = Occasion.FREE,
    key: str = "",
    how: str = "",
    said_at: datetime | None = None,
    blobs: Iterable[Blob] = (),
    answer_to: Message | None = None,
) -> Message:
    """Note what was said to a customer elsewhere: in a chat, by telephone, across the counter.

    :param how: the code of the way, for history.
    :param said_at: when it was said, where that was earlier.
    :param blobs: screenshots of a chat.
    :raises Refused: there are no words, or the time is still to come.
    """
    if said_at and said_at > now:
        raise Refused(_("That time is still to come. Say when it was."))
    message, made = _row(
        key or f"said:{secrets.token_hex(8)}",
        state=State.LOGGED,
        occasion=occasion,
        about=about,
        customer=customer,
        subject=headers.one_line(subject),
        body=_some(body),
        made_by=made_by,
        made_at=now,
        not_before=now,
        done_at=said_at or now,
        answer_to=answer_to,
    )
    if made:
        _attach(message, blobs)
        facts = {"how": how, "occasion": str(occasion), "message": message.id}
        record("message_logged", about, made_by, now, **facts)
    return message


@transaction.atomic
def receive(
    *,
    key: str,
    about: str,
    body: str,
    now: datetime,
    customer: Customer | None = None,
    subject: str = "",
) -> Message:
    """Take in what a customer wrote on their page. The same key again changes nothing."""
    message, made = _row(
        key,
        state=State.RECEIVED,
        occasion=Occasion.FREE,
        about=about,
        customer=customer,
        subject=headers.one_line(subject),
        body=_some(body),
        made_at=now,
        not_before=now,
        done_at=now,
    )
    if made:
        record("message_received", about, None, now, message=message.id)
    return message


@transaction.atomic
def settle(question: Message, by: Any, now: datetime) -> None:
    """Say that a customer's question needs no answer, or has had one. Said twice is said once."""
    open_ones = Message.objects.filter(pk=question.pk, state=State.RECEIVED, settled_at=None)
    if open_ones.update(settled_at=now):
        record("question_settled", question.about, by, now, message=question.pk)


@transaction.atomic
def withdraw(message: Message, by: Any, now: datetime) -> None:
    """Take a message out of the outbox before it leaves.

    :raises Refused: where it has left, or is leaving at this moment.
    """
    if not _withdraw(Message.objects.filter(id=message.id), now):
        raise Refused(_("This message has left or is leaving just now."))
    record("message_withdrawn", message.about, by, now, message=message.id)
    message.refresh_from_db()


@transaction.atomic
def withdraw_by_cause(cause: str, now: datetime) -> int:
    """Take out what this caused and what has not left yet; how many that were."""
    return _withdraw(Message.objects.filter(cause=cause), now) if cause else 0


@transaction.atomic
def withdraw_stale(about: str, occasions: Collection[str], now: datetime) -> int:
    """Take out news that has become untrue before it left; how many that were."""
    return _withdraw(Message.objects.filter(about=about, occasion__in=occasions), now)


@transaction.atomic
def try_again(message: Message, by: Any, now: datetime) -> None:
    """Send a message that failed, or that waits for its next try, now."""
    again = Message.objects.filter(
        Q(leased_until=None) | Q(leased_until__lte=now),
        id=message.id,
        state__in=(State.FAILED, State.QUEUED),
    ).update(state=State.QUEUED, not_before=now, tries=0, leased_until=None, done_at=None)
    if not again:
        raise Refused(_("This message has left or is leaving just now."))
    record("message_tried_again", message.about, by, now, message=message.id)
    wake("shop.post.tasks.deliver", message.id)
    message.refresh_from_db()


def send_test_mail(to: str, by: Any, now: datetime) -> Message:
    """Queue a test mail; it goes the way that every other mail goes."""
    text = fill_text(wording_of(Occasion.TEST), {"shop": house().name})
    return queue_message(
        key=f"test:{secrets.token_hex(8)}",
        occasion=Occasion.TEST,
        about="house",
        to=to,
        subject=text.subject,
        body=text.body,
        made_by=by,
        now=now,
    )


def _row(key: str, **facts: Any) -> tuple[Message, bool]:
    # Two callers with one key at once: the unique key lets one row in and both are given it.
    defaults = facts | {"message_id": headers.message_id(house().email)}
    return Message.objects.get_or_create(key=key, defaults=defaults)


def _attach(message: Message, blobs: Iterable[Blob]) -> None:
    for blob in blobs:
        Attachment.objects.get_or_create(message=message, blob=blob)


def _some(body: str) -> str:
    text = headers.plain_text(body)
    if not text.strip():
        raise Refused(_("There is no text yet."))
    return text


def _withdraw(which: QuerySet[Message], now: datetime) -> int:
    free = Q(leased_until=None) | Q(leased_until__lte=now)
    return which.filter(free, state=State.QUEUED).update(state=State.WITHDRAWN, done_at=now)
