"""What changes staff and customers; and the check of a sign-in."""

import logging
from collections.abc import Collection, Sequence
from datetime import datetime, timedelta
from typing import Any

from django.contrib.auth import authenticate
from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.db.models import ProtectedError
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.people.models import Customer, Role, Session, User
from shop.web import throttle

log = logging.getLogger("hiltyard.doors")
SPAN = timedelta(minutes=15)
TRIES_AN_ADDRESS = 10
TRIES_A_CALLER = 60
TRIES_FROM_ELSEWHERE, HOUR = 100, timedelta(hours=1)
PIN_TRIES, PIN_TRIES_A_DAY, DAY = 5, 20, timedelta(days=1)


class Refused(Exception):
    """A deed that cannot be done; its text says why, in a sentence for the screen."""


class WrongPassword(Refused):
    """The password is not that of the address."""


def check_sign_in(
    *,
    email: str,
    password: str,
    caller: str,
    now: datetime,
    knows: Collection[int] = frozenset(),
) -> User:
    """Whoever signs in with these; Refused when they are wrong or were tried too often.

    Tries are counted for an address *from one caller*, so that guessing elsewhere does not shut
    the owner out, and the count starts anew after its span. Guesses from ever new callers are
    counted together for an address; that count stops no device on which its person has signed in
    before, nor the link for a new password.

    :param knows: who has signed in before on the device that asks.
    """
    pair = f"{User.objects.normalise(email)} {caller}"
    in_bounds = throttle.allow("sign-in", pair, TRIES_AN_ADDRESS, SPAN, now)
    if not (throttle.allow("sign-in from", caller, TRIES_A_CALLER, SPAN, now) and in_bounds):
        log.warning("too many sign-ins were tried: %s", _whose(email))
        raise Refused(_("Too many tries. Wait a quarter of an hour, then try again."))
    _count_guesses_from_elsewhere(email, knows, now)
    user = authenticate(email=email, password=password)
    if not isinstance(user, User):
        log.warning("a sign-in was refused: %s", _whose(email))
        raise WrongPassword(_("This e-mail and password do not go together. Check both."))
    throttle.forget("sign-in", pair)
    throttle.forget("sign-in of", User.objects.normalise(email))
    return user


def _whose(email: str) -> str:
    """Whom a try was for, as the log may know it: by number, never by what was typed."""
    known = User.objects.filter(email=User.objects.normalise(email)).first()
    return known.about if known else "nobody of the shop"


def _count_guesses_from_elsewhere(email: str, knows: Collection[int], now: datetime) -> None:
    whose = User.objects.normalise(email)
    if knows and User.objects.filter(pk__in=knows, email=whose).exists():
        return
    if not throttle.allow("sign-in of", whose, TRIES_FROM_ELSEWHERE, HOUR, now):
        log.warning("too many sign-ins from elsewhere: %s", _whose(email))
        raise Refused(
            _(
                "Somebody tries passwords for this address. Sign in on a device that you have "
                "used before, or take a link for a new password."
            )
        )


def forget_what_ran_out(now: datetime) -> None:
    """Let go of sessions that ran out and of counts whose span is over: both only ever grow."""
    Session.objects.filter(expire_date__lt=now).delete()
    # Of a clock that was ahead: those in use were dated anew as they were used since.
    Session.objects.filter(since__gt=now + timedelta(days=1)).delete()
    throttle.sweep(now)


@transaction.atomic
def add_staff(*, name: str, email: str, role: str, by: User | None, now: datetime) -> User:
    """Let someone join; a password is set by the link that goes to them."""
    user = User(name=name.strip(), email=User.objects.normalise(email), role=role)
    user.set_unusable_password()
    user.save(force_insert=True)
    record("staff_added", user.about, by, now, role=role)
    return user


@transaction.atomic
def change_staff(
    user_pk: int, *, name: str, email: str, role: str, is_active: bool, at_bench: bool,
    by: User, now: datetime,
) -> User:  # fmt: skip
    """Change a person's name, address or role, whether they work on builds or may sign in.

    Whoever has another role, another address or leaves is signed out everywhere.
    """
    owners = User.objects.select_for_update().filter(role=Role.OWNER, is_active=True)
    left = {owner.pk for owner in owners} - {user_pk}
    if not left and not (role == Role.OWNER and is_active):
        raise Refused(_("This is the last owner. Make someone else an owner first."))
    user = User.objects.select_for_update().get(pk=user_pk)
    before = (user.email, user.role, user.is_active)
    user.name, user.email = name.strip(), User.objects.normalise(email)
    user.role, user.is_active, user.at_bench = role, is_active, at_bench
    if before != (user.email, user.role, user.is_active):
        Session.objects.filter(person=user).delete()
    user.save(update_fields=["name", "email", "role", "is_active", "at_bench"])
    record("staff_changed", user.about, by, now, role=role, is_active=is_active)
    return user


@transaction.atomic
def set_password(
    user: User, password: str, *, by: User | None, now: datetime, here: str = ""
) -> None:
    """Set a new password; sessions that began with the old one end.

    :param here: the mark of the session that goes on, where the person is at it.
    """
    user.set_password(password)
    user.save(update_fields=["password"])
    Session.objects.filter(person=user).exclude(mark=here).delete()
    record("password_set", user.about, by, now)


@transaction.atomic
def set_pin(user: User, pin: str, *, by: User, now: datetime) -> None:
    """Let a person take over a tablet by a PIN from now on; an empty one takes that away."""
    user.pin = make_password(pin) if pin else ""
    user.save(update_fields=["pin"])
    if pin:
        record("pin_set", user.about, by, now)
    else:
        record("pin_dropped", user.about, by, now)


def check_pin(user_pk: int, pin: str, *, device: str, by: User, now: datetime) -> User:
    """Whoever takes over from ``by`` with a PIN; Refused when it is wrong or was tried too often.

    Four digits are soon guessed: tries are few on each device, and few a day for each person.
    """
    in_bounds = throttle.allow("pin", f"{user_pk} {device}", PIN_TRIES, SPAN, now)
    if not (throttle.allow("pin of", str(user_pk), PIN_TRIES_A_DAY, DAY, now) and in_bounds):
        raise Refused(_("Too many tries. Sign out, and sign in with the password."))
    user = User.objects.filter(pk=user_pk, is_active=True).exclude(pin="").first()
    if user is None or not check_password(pin, user.pin, lambda typed: _hash_anew(user, typed)):
        log.warning("a PIN was refused: user:%s", user_pk)
        raise Refused(_("This is not the PIN of the person you chose."))
    throttle.forget("pin", f"{user_pk} {device}")
    throttle.forget("pin of", str(user_pk))
    record("person_changed", user.about, by, now)
    return user


def _hash_anew(user: User, pin: str) -> None:
    """An older kind of hash gives way to the present one while the PIN is at hand."""
    user.pin = make_password(pin)
    user.save(update_fields=["pin"])


@transaction.atomic
def add_customer(fields: dict[str, Any], by: User, now: datetime) -> Customer:
    """Write a new customer down.

    :param fields: called, full_name, email, phone, address, country, note.
    """
    customer = Customer.objects.create(**fields, since=now)
    record("customer_added", f"customer:{customer.pk}", by, now)
    return customer


@transaction.atomic
def remove_customers(customer_ids: Sequence[int], by: User, now: datetime) -> None:
    """Take customers off the books that were written down by mistake and have nothing yet.

    :raises Refused: one of them has an order, a hilt, a message or the like.
    """
    try:
        with transaction.atomic():
            Customer.objects.filter(pk__in=customer_ids).delete()
    except ProtectedError as error:
        raise Refused(_("A customer who has orders, hilts or messages stays.")) from error
    for pk in customer_ids:
        record("customer_removed", f"customer:{pk}", by, now)


@transaction.atomic
def change_customer(customer: Customer, fields: dict[str, Any], by: User, now: datetime) -> None:
    """Change what is known of a customer."""
    for name, value in fields.items():
        setattr(customer, name, value)
    customer.save()
    record("customer_changed", f"customer:{customer.pk}", by, now, fields=sorted(fields))


@transaction.atomic
def choose_language(user: User, language: str, *, now: datetime) -> None:
    """Speak to somebody in their own language; empty: in the shop's."""
    if user.language != language:
        user.language = language
        user.save(update_fields=["language"])
        record("language_chosen", user.about, user, now)
