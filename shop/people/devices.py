"""Tells a device on which somebody has signed in before from all the others.

Behind a reverse proxy every caller has one address, so someone who guesses there would use up the
owner's tries as well. A device that is known counts its tries by itself.
"""

from secrets import token_urlsafe

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

from shop.web.access import caller_key

COOKIE = f"{settings.COOKIE_PREFIX}hiltyard_device"
SALT = "shop.people.devices"
A_YEAR_S = 365 * 24 * 60 * 60


def caller(request: HttpRequest) -> str:
    """Who tries: the known device, else the address of the connection."""
    device, _people = _remembered(request)
    return f"device {device}" if device else caller_key(request)


def is_known(request: HttpRequest) -> bool:
    """Whether somebody has signed in with a password on this device before."""
    return bool(_remembered(request)[0])


def knows(request: HttpRequest) -> frozenset[int]:
    """Who has signed in with a password on this device before."""
    return _remembered(request)[1]


def remember(request: HttpRequest, response: HttpResponseBase, user_pk: int) -> None:
    """Know this device, and that this person used it; it proves no person and opens no page."""
    device, people = _remembered(request)
    named = ".".join(str(pk) for pk in sorted(people | {user_pk}))
    response.set_signed_cookie(
        COOKIE,
        f"{device or token_urlsafe(12)}.{named}",
        salt=SALT,
        max_age=A_YEAR_S,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Lax",
    )


def _remembered(request: HttpRequest) -> tuple[str, frozenset[int]]:
    value = request.get_signed_cookie(COOKIE, default="", salt=SALT, max_age=A_YEAR_S) or ""
    device, _dot, people = value.partition(".")
    return device, frozenset(int(pk) for pk in people.split(".") if pk)
