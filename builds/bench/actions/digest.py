"""The morning's list: one mail to the shop as it opens, with what wants it now."""

from datetime import date, datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from builds.bench.queries.board import open_rows
from builds.bench.queries.today import Want, leaving_next, wants
from shop.diary.queries import Calendar, calendar
from shop.house.actions import look_through_morning
from shop.house.models import House
from shop.house.queries import house
from shop.post.actions import queue_message
from shop.post.models import Message, Occasion
from shop.post.queries import wording_of
from shop.post.wording import fill_text
from shop.web.dated import dated


def send_digest(now: datetime) -> Message | None:
    """Queue the list of this working day, once; None on other days, and where nothing wants us.

    A machine that is switched on later in the day sends it then.
    """
    shop = house()
    diary = calendar(shop)
    if not shop.email or not diary.has_opened(now) or shop.digest_on == diary.today(now):
        return None
    with timezone.override(shop.zone):
        return _send(shop, diary, now)


@transaction.atomic
def _send(shop: House, diary: Calendar, now: datetime) -> Message | None:
    day = diary.today(now)
    if not look_through_morning(day):  # another worker was first
        return None
    words = _in_words(diary, now)
    if not words:
        return None
    known = {"day": dated(day, "long"), "shop": shop.name, "words": words}
    text = fill_text(wording_of(Occasion.DIGEST), known)
    return queue_message(
        key=f"digest:{day.isoformat()}",
        occasion=Occasion.DIGEST,
        about="house",
        to=shop.email,
        subject=text.subject,
        body=text.body,
        now=now,
    )


def _in_words(diary: Calendar, now: datetime) -> str:
    """A line for each thing that wants us, and one on the next dispatch day; empty for nothing."""
    found = open_rows(diary, now)
    wanting = wants(found, diary, now)
    if not wanting:
        return ""
    lines = [f"- {_line(want)}" for want in wanting]
    leaving = leaving_next(found, diary, now)
    day = leaving["day"]
    if isinstance(day, date) and leaving["count"]:
        known = leaving | {"day": dated(day, "long")}
        lines += ["", _("Next to leave: %(day)s, %(ready)s of %(count)s packed.") % known]
    return "\n".join(lines)


def _line(want: Want) -> str:
    number = f" ({want.number})" if want.number else ""
    return f"{want.what}{number}: {want.why}" if want.why else f"{want.what}{number}"
