"""Mails by which the staff set a password. The link is put in when the mail leaves."""

from datetime import datetime, timedelta

from django.utils.translation import gettext as _

from shop.house.queries import house
from shop.house.speech import speaking_as
from shop.people.models import User
from shop.people.queries import find_staff
from shop.post.actions import queue_message
from shop.post.models import Message, Occasion
from shop.post.queries import wording_of
from shop.post.wording import fill_text
from shop.web import throttle

MAILS_AN_ADDRESS = 3
ASKED_BY_A_CALLER = 20
SPAN = timedelta(hours=1)


def ask_for_new_password(email: str, *, caller: str, now: datetime) -> None:
    """Mail a link to whoever signs in with an address. What comes of it is told by mail alone."""
    if not throttle.allow("forgot from", caller, ASKED_BY_A_CALLER, SPAN, now):
        return
    user = find_staff(email)
    if user and throttle.allow("forgot", user.email, MAILS_AN_ADDRESS, SPAN, now):
        with speaking_as(house(), user.language):
            words = _("Here you set a new password, once, within a day:")
        mail_link(user, words, by=None, now=now)


def invite_by_mail(user: User, *, by: User, now: datetime) -> Message:
    """Mail someone who joins, or who asks the owner, a link to set a password."""
    with speaking_as(house(), user.language):
        words = _("Here you set your password for the shop's own pages, once, within a day:")
    return mail_link(user, words, by=by, now=now)


def mail_link(user: User, words: str, *, by: User | None, now: datetime) -> Message:
    """Queue the mail; asking twice within a minute makes one."""
    values = {"name": user.name, "shop": house().name, "words": f"{words}\n$link"}
    with speaking_as(house(), user.language):
        text = fill_text(wording_of(Occasion.PASSWORD), values)
    # The shop's own words may have lost the placeholder, and the mail would be of no use.
    body = text.body if "$link" in text.body else f"{text.body}\n$link\n"
    return queue_message(
        key=f"password:{user.pk}:{now:%Y-%m-%dT%H:%M}",
        occasion=Occasion.PASSWORD,
        about=user.about,
        to=user.email,
        subject=text.subject,
        body=body,
        made_by=by,
        now=now,
    )
