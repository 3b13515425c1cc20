"""Delivers what is queued: claim, send, record. Each claim is a lease of its own.

At least once, never lost: a worker that dies between the server's "accepted" and our record
sends again, with the same Message-ID.
"""

import logging
from datetime import datetime, timedelta
from email.utils import formataddr

from django.core.mail import EmailMessage
from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils.translation import gettext as _

from shop.clock import AHEAD, ago
from shop.files import queries as files
from shop.history.actions import record
from shop.house.models import House
from shop.house.queries import house
from shop.people.queries import find_staff, reset_url
from shop.post.failures import MOST_TRIES, Failure, Pointless, judge, wait_after
from shop.post.headers import one_line
from shop.post.models import Message, Occasion, State
from shop.post.queries import url_of
from shop.post.wording import with_link

log = logging.getLogger("hiltyard.post")

# Longer than a task may live, so that nobody else sends while the first sender may be at it.
LEASE = timedelta(seconds=50)
PHOTOS_WAIT = timedelta(seconds=10)
PHOTO_SIDES = (1600, 320)
LONGEST_WAIT = timedelta(hours=2)  # nothing waits longer for its next try
MOST_ATTACHED = 8 * 1024 * 1024
# Written by the clock: other mail programs must not answer these by themselves.
_BY_THE_CLOCK = {Occasion.SHIP_BY, Occasion.CHASE, Occasion.DIGEST, Occasion.PASSWORD}


def due(now: datetime, at_most: int) -> list[int]:
    """Ids of messages that may leave and that nobody is sending, oldest first."""
    free = _free(now).filter(tries__lt=MOST_TRIES).order_by("not_before", "id")
    return list(free.values_list("id", flat=True)[:at_most])


def claim(message_id: int, now: datetime) -> Message | None:
    """Take a message for sending. One conditional UPDATE: of two claims at once one wins."""
    taken = _free(now).filter(id=message_id).update(leased_until=now + LEASE, tries=F("tries") + 1)
    if taken != 1:
        return None
    return Message.objects.select_related("link").get(id=message_id)


def deliver(message_id: int, now: datetime) -> bool:
    """Send one message if it is due and free; whether it left."""
    message = claim(message_id, now)
    if message is None:
        return False
    if files.any_being_made(message.blobs.all()):
        _put_back(message, now)
        return False
    try:
        build(message, house()).send()
    except Exception as error:  # Whatever it is, the row says it and the next message leaves
        _failed(message, judge(error), now)
        return False
    Message.objects.filter(id=message.id, state=State.QUEUED).update(
        state=State.SENT, done_at=now, leased_until=None, last_error=""
    )
    return True


def bury_the_worn_out(now: datetime) -> int:
    """Mark as failed what killed its sender so often that no try is left."""
    worn_out = _free(now).filter(tries__gte=MOST_TRIES)
    words = _("Every try to send this broke off without a word.")
    return worn_out.update(state=State.FAILED, done_at=now, leased_until=None, last_error=words)


def build(message: Message, shop: House) -> EmailMessage:
    """The mail as it leaves."""
    headers = {"Message-ID": message.message_id}
    if message.occasion in _BY_THE_CLOCK:
        headers["Auto-Submitted"] = "auto-generated"
    mail = EmailMessage(
        subject=message.subject,
        body=with_link(message.body, _url(message, shop)),
        from_email=formataddr((one_line(shop.name), shop.email or "hiltyard@localhost")),
        to=[message.to],
        reply_to=[shop.email] if shop.email else None,
        headers=headers,
    )
    for number, photo in enumerate(_photos(message), start=1):
        mail.attach(f"photo-{number}.jpg", photo, "image/jpeg")
    for name, document, media_type in _documents(message):
        mail.attach(name, document, media_type)
    return mail


def _documents(message: Message) -> list[tuple[str, bytes, str]]:
    """Documents as they were kept. A mail that promises one does not leave without it."""
    attached = message.attachments.exclude(name="").select_related("blob").order_by("id")
    found = []
    for attachment in attached:
        content = files.document_of(attachment.blob)
        if content is None:
            raise Pointless(_("%s is gone, and was to go along.") % attachment.name)
        found.append((attachment.name, content, attachment.blob.media_type))
    return found


def _url(message: Message, shop: House) -> str | None:
    """What ``$link`` stands for, made as the message leaves."""
    if message.occasion != Occasion.PASSWORD:
        return url_of(message.link, shop)
    staff = find_staff(message.to)
    if staff is None:
        raise Pointless(_("Nobody signs in with this address any more."))
    if not shop.bench_url:
        raise Pointless(_("The shop's bench address is not set, so there is no link to send."))
    return reset_url(staff.pk)


def _free(now: datetime) -> QuerySet[Message]:
    # Written while the clock was ahead, a lease or a wait would last until it is that late.
    unleased = Q(leased_until=None) | ago("leased_until", timedelta(0), now)
    is_due = Q(not_before__lte=now) | Q(made_at__gt=now + AHEAD)
    waited = Q(not_before__gt=now + LONGEST_WAIT)
    return Message.objects.filter(unleased, is_due | waited, state=State.QUEUED)


def _photos(message: Message) -> list[bytes]:
    """The photos as JPEG, which every mail program shows; small ones where large ones are many."""
    attached = message.attachments.filter(name="").select_related("blob").order_by("id")
    blobs = [attachment.blob for attachment in attached]
    photos: list[bytes] = []
    for side in PHOTO_SIDES:
        photos = [jpeg for blob in blobs if (jpeg := files.jpeg_of(blob, side))]
        if sum(map(len, photos)) <= MOST_ATTACHED:
            break
    return photos


def _put_back(message: Message, now: datetime) -> None:
    """The worker is still making the photos: that is no failed try."""
    _of_this_lease(message).update(
        leased_until=None, tries=F("tries") - 1, not_before=now + PHOTOS_WAIT
    )


@transaction.atomic
def _failed(message: Message, failure: Failure, now: datetime) -> None:
    log.warning("message %s did not leave: %s", message.id, failure.words)
    if failure.may_have_arrived:  # and may come twice: that is said where its build is told of
        record("message_in_doubt", message.about, None, now, message=message.id)
    ours = _of_this_lease(message)
    if failure.ends(message.tries):
        ours.update(state=State.FAILED, done_at=now, leased_until=None, last_error=failure.words)
        return
    ours.update(
        leased_until=None, not_before=now + wait_after(message.tries), last_error=failure.words
    )


def _of_this_lease(message: Message) -> QuerySet[Message]:
    # A lease that ran out may be someone else's by now; what they find out counts, not this.
    return Message.objects.filter(
        id=message.id, state=State.QUEUED, leased_until=message.leased_until
    )
