"""Tells a customer about a return: that it is noted, what was decided."""

from datetime import datetime
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.models import Return
from builds.handover.queries.returns import owner_of, words_for
from builds.handover.refusals import Refused
from builds.progress.linking import hilt_link
from shop.files.actions import Refused as NoPicture
from shop.files.actions import keep
from shop.house.models import House
from shop.house.queries import house
from shop.people.models import User
from shop.post.actions import Refused as NotSent
from shop.post.actions import log_said, queue_message
from shop.post.models import Message, Occasion, PrivateLink
from shop.post.queries import mail_goes_nowhere, url_of
from shop.post.wording import Text

__all__ = ["NoPicture", "Refused", "confirm", "note_said", "own_link", "tell", "why_no_mail"]


def why_no_mail(found: Return) -> str:
    """Why nothing about a return can be mailed, in words; empty where it can."""
    owner = owner_of(found)
    if not owner.email:
        return _("No mail address is on file for %s.") % owner.called
    if mail_goes_nowhere():
        return _("No mail server is set, so no mail leaves the shop.")
    return ""


@transaction.atomic
def tell(
    found: Return, occasion: str, text: Text, *, token: UUID, by: User, now: datetime
) -> Message:
    """Send what was written about a return. The same token sends it once.

    :raises Refused: there is no address, or nothing is said.
    """
    if lacks := why_no_mail(found):
        raise Refused(lacks)
    try:
        return _queue(found, occasion, text, f"return:{token}", by, now)
    except NotSent as error:
        raise Refused(str(error)) from error


def note_said(
    found: Return,
    occasion: str,
    *,
    token: UUID,
    how: str,
    how_words: str,
    words: str,
    by: User,
    now: datetime,
    said_at: datetime | None = None,
    screenshot: UploadedFile | None = None,
) -> Message:
    """Note what was said about a return elsewhere. The same token notes it once.

    A working link in the words is put back to ``$link``: none lies in the database. The picture
    is kept before the row is written: a slow disk must not hold up other writers.

    :raises Refused: the time is still to come.
    """
    kept = [keep(screenshot, now)] if screenshot else []
    url = url_of(own_link(found, now), house())
    try:
        return log_said(
            key=f"said:{token}",
            about=found.build.about,
            customer=owner_of(found),
            occasion=occasion,
            subject=f"{found}: {how_words}",
            body=words.replace(url, "$link") if url else words,
            how=how,
            said_at=said_at,
            blobs=kept,
            made_by=by,
            now=now,
        )
    except NotSent as error:
        raise Refused(str(error)) from error


def own_link(found: Return, now: datetime) -> PrivateLink | None:
    """The link to the page of the hilt; None for a blade alone, which has none."""
    hilt = found.build.hilt
    return hilt_link(hilt, now) if hilt else None


def confirm(found: Return, *, shop: House, now: datetime) -> None:
    """Send the customer who announced it the number, and what to do; once, and only by mail."""
    if owner_of(found).email:
        text = words_for(found, Occasion.RETURN_NOTED, shop, now)
        _queue(found, Occasion.RETURN_NOTED, text, f"return-noted:{found}", None, now)


def _queue(
    found: Return, occasion: str, text: Text, key: str, by: User | None, now: datetime
) -> Message:
    return queue_message(
        key=key,
        occasion=occasion,
        about=found.build.about,
        customer=owner_of(found),
        to=owner_of(found).email,
        subject=text.subject,
        body=text.body,
        link=own_link(found, now),
        made_by=by,
        now=now,
    )
