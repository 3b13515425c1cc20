"""Finds staff, and makes the links by which they set a new password."""

from django.contrib.auth.tokens import default_token_generator
from django.db.models import QuerySet
from django.urls import reverse
from django.utils.encoding import force_str
from django.utils.http import urlsafe_base64_decode, urlsafe_base64_encode

from shop.house.queries import house
from shop.people.models import User


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
