"""What a deed says on the page that follows it: carried by a cookie, for one session alone.

A session is a row of the database. Said from there, every deed would write twice more, and the
second time, as the page is read, after what was kept for the next look (``unchanged.py``).
"""

from hashlib import sha256
from typing import Any

from django.conf import settings
from django.contrib.messages.storage.cookie import CookieStorage
from django.contrib.messages.storage.fallback import FallbackStorage
from django.contrib.messages.storage.session import SessionStorage
from django.core import signing


class OwnCookie(CookieStorage):
    """A cookie that is good in the session that it was written in: whoever takes over a tablet
    is not told what the person before them did.
    """

    cookie_name = f"{settings.COOKIE_PREFIX}said"

    @property
    def signer(self) -> signing.TimestampSigner:
        """Signs with the session that the request has by now; signing in changes it."""
        session = getattr(self.request, "session", None)
        key = (session.session_key if session is not None else None) or ""
        salt = f"{self.key_salt}.{sha256(key.encode()).hexdigest()}"
        return signing.get_cookie_signer(salt=salt)

    @signer.setter
    def signer(self, usual: Any) -> None:
        """Django's own is the same for everyone, and not used."""


class Said(FallbackStorage):
    """By cookie; what is too long for one, by the session."""

    storage_classes = (OwnCookie, SessionStorage)
