"""Tells a customer about a return: that it is noted, what was decided."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.handover.models import Return
from builds.handover.queries.returns import owner_of, words_for
from builds.handover.refusals import Refused
from builds.progress.linking import hilt_link
from shop.house.models import House
from shop.people.models import User
from shop.post.actions import Refused as NotSent
from shop.post.actions import queue_message
from shop.post.models import Message, Occasion
from shop.post.queries import mail_goes_nowhere
from shop.post.wording import Text


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


def confirm(found: Return, *, shop: House, now: datetime) -> None:
    """Send the customer who announced it the number, and what to do; once, and only by mail."""
    if owner_of(found).email:
        text = words_for(found, Occasion.RETURN_NOTED, shop)
        _queue(found, Occasion.RETURN_NOTED, text, f"return-noted:{found.pk}", None, now)


def _queue(
    found: Return, occasion: str, text: Text, key: str, by: User | None, now: datetime
) -> Message:
    hilt = found.build.hilt
    return queue_message(
        key=key,
        occasion=occasion,
        about=found.build.about,
        customer=owner_of(found),
        to=owner_of(found).email,
        subject=text.subject,
        body=text.body,
        link=hilt_link(hilt, now) if hilt else None,
        made_by=by,
        now=now,
    )
