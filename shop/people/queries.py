"""Finds staff, where they are signed in, and the links by which they set a new password."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from urllib.parse import quote, urlencode

from django.contrib.auth.tokens import default_token_generator
from django.db.models import QuerySet
from django.http import HttpRequest
from django.http.request import split_domain_port
from django.urls import reverse
from django.utils.encoding import force_str
from django.utils.http import urlsafe_base64_decode, urlsafe_base64_encode
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from shop.house.queries import house
from shop.people.agents import plain_words
from shop.people.models import Session, User


def staff() -> QuerySet[User]:
    """Everyone who works or worked here, those who may sign in first."""
    return User.objects.order_by("-is_active", "-role", "name", "id")


def find_staff(email: str) -> User | None:
    """Who may sign in with an address, whatever its case."""
    return User.objects.filter(email=User.objects.normalise(email), is_active=True).first()


def may_take_over(present: User) -> list[User]:
    """The others who may take over a tablet by their PIN, by name."""
    others = User.objects.filter(is_active=True).exclude(pin="").exclude(pk=present.pk)
    return list(others.order_by("name", "pk"))


def reset_path(user: User) -> str:
    """Where this person sets a new password. It works once, and for PASSWORD_RESET_TIMEOUT."""
    uid = urlsafe_base64_encode(str(user.pk).encode())
    return reverse("people_new_password", args=[uid, default_token_generator.make_token(user)])


def reset_url(user_pk: int) -> str:
    """The same with the bench address before it, made when a message leaves.

    Never from the Host header of a request: whoever asks could send a link to a place of his own.
    Empty when the person may no longer sign in.
    """
    user = User.objects.filter(pk=user_pk, is_active=True).first()
    return house().bench_url.rstrip("/") + reset_path(user) if user else ""


def who_resets(uid: str, token: str) -> User | None:
    """The person that a link is for; None when it was used, is too old or was never ours."""
    try:
        pk = int(force_str(urlsafe_base64_decode(uid)))
    except (ValueError, UnicodeDecodeError):
        return None
    user = User.objects.filter(pk=pk, is_active=True).first()
    return user if user and default_token_generator.check_token(user, token) else None


@dataclass(frozen=True)
class SignedIn:
    """One place where somebody is signed in."""

    mark: str
    device: str
    since: datetime | None
    seen: str
    by_pin: bool
    is_here: bool


def sessions_of(person: User, here: str, now: datetime) -> list[SignedIn]:
    """Where somebody is signed in: this device first, then those that were used last."""
    open_ones = Session.objects.filter(person=person, expire_date__gt=now).order_by("-seen", "mark")
    found = [
        SignedIn(
            mark=row.mark,
            device=plain_words(row.agent),
            since=row.since,
            seen=_roughly(row.seen, now) if row.seen else "",
            by_pin=row.by_pin,
            is_here=row.mark == here,
        )
        for row in open_ones
    ]
    return sorted(found, key=lambda each: not each.is_here)


def _roughly(seen: datetime, now: datetime) -> str:
    """When a session was used, no finer than anybody needs."""
    if now - seen < timedelta(hours=1):
        return _("within the hour")
    days = (localdate(now) - localdate(seen)).days
    if days <= 1:
        return _("yesterday") if days else _("today")
    return _("%(days)d days ago") % {"days": days}


def recovery_codes_left(user: User) -> int:
    """How many codes on paper are still good."""
    return user.recovery_codes.filter(used_at=None).count()


def passkey_host(request: HttpRequest) -> str:
    """The host name at which passkeys work here; empty where a browser offers none.

    Browsers offer them under HTTPS and on the machine itself alone, and never for a bare number.
    """
    host, _port = split_domain_port(request.get_host())
    is_name = not host.replace(".", "").isdigit() and "[" not in host
    return host if is_name and (request.is_secure() or host == "localhost") else ""


def app_address(user: User, secret: str, shop: str) -> str:
    """What an app reads from the QR code: whose it is, and the secret."""
    told = urlencode({"secret": secret, "issuer": shop}, quote_via=quote)
    return f"otpauth://totp/{quote(f'{shop}:{user.email}')}?{told}"
