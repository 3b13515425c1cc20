"""The first set-up: makes the shop out of what its owner typed."""

import hmac
from datetime import datetime, time, timedelta
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from builds.intake.actions import make_default_views
from builds.progress.places import make_default_places
from builds.proving.actions import fill_sheet
from shop.diary.actions import Day, write_week
from shop.env import setup_code_file
from shop.history.actions import record
from shop.house.models import House
from shop.people.actions import add_staff, set_password
from shop.people.models import Role, User
from shop.stores.actions.typical import add_typical
from shop.web import throttle

TRIES = 10
SPAN = timedelta(minutes=15)


class WrongCode(Exception):
    """The one-time code does not fit; the text says what to do."""


class AlreadySetUp(Exception):
    """Someone else was first."""


def check_code(typed: str, *, caller: str, now: datetime) -> None:
    """WrongCode unless this is the code that `start` printed."""
    if not throttle.allow("set-up", caller, TRIES, SPAN, now):
        raise WrongCode(_("Too many tries. Wait a quarter of an hour, then try again."))
    path = setup_code_file()
    right = path.read_text(encoding="ascii") if path.exists() else ""
    if not right.strip():
        raise WrongCode(_("There is no code at present. Start Hiltyard again: it prints one."))
    if not hmac.compare_digest(_plain(typed), _plain(right)):
        raise WrongCode(_("This is not the code. It stands where Hiltyard was started."))


def _plain(code: str) -> bytes:
    return "".join(sign for sign in code.upper() if sign.isalnum()).encode()


@transaction.atomic
def set_up(
    shop: House, days: list[Day], cut_off: time, owner: dict[str, Any], *, now: datetime
) -> User:
    """Make the shop, its week, its owner and what it begins with; AlreadySetUp for the second."""
    _claim(shop, cut_off, now)
    write_week(days)
    user = add_staff(name=owner["name"], email=owner["email"], role=Role.OWNER, by=None, now=now)
    set_password(user, owner["password"], by=user, now=now)
    make_default_views()
    make_default_places()
    add_typical(by=user, now=now)
    fill_sheet(by=user, now=now)
    record("set_up", "house", user, now)
    transaction.on_commit(lambda: setup_code_file().unlink(missing_ok=True))
    return user


def _claim(shop: House, cut_off: time, now: datetime) -> None:
    """Write the one row. Two at once: it has one possible id, so the database lets one through."""
    present = House.objects.select_for_update().filter(id=1).first()
    if present is not None and present.set_up_at is not None:
        raise AlreadySetUp
    shop.id, shop.set_up_at, shop.cut_off = 1, now, cut_off
    try:
        with transaction.atomic():
            shop.save(force_insert=present is None)
    except IntegrityError as error:
        raise AlreadySetUp from error
