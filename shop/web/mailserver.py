"""Django's way to the mail server, with EMAIL_URL read anew for every mail."""

import smtplib
from collections.abc import Sequence
from typing import Any

import dj_email_url
from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.base import BaseEmailBackend
from django.core.mail.backends.smtp import EmailBackend

from shop import env

SMTP = "django.core.mail.backends.smtp.EmailBackend"
MINDFUL = "shop.web.mailserver.Mindful"
TO_FILES = "django.core.mail.backends.filebased.EmailBackend"
TIMEOUT_S = 15


class MayHaveArrived(smtplib.SMTPServerDisconnected):
    """The server was handed the whole mail and broke off before it said whether it took it."""


class _Owed(smtplib.SMTP):
    """Tells whether the server owes the answer to a mail when it breaks off."""

    was_handed = False

    def data(self, msg: Any) -> tuple[int, bytes]:
        """Hand the mail over."""
        self.was_handed = False
        try:
            return super().data(msg)
        except (smtplib.SMTPServerDisconnected, OSError) as error:
            if self.was_handed:
                raise MayHaveArrived(str(error)) from error
            raise

    def send(self, s: Any) -> None:
        """Send; what goes out within ``data`` and is no command is the mail."""
        super().send(s)
        self.was_handed = isinstance(s, bytes)


class _OwedOverTls(_Owed, smtplib.SMTP_SSL):
    pass


class Mindful(EmailBackend):
    """Django's own, which minds whether a mail that broke off may have arrived."""

    @property
    def connection_class(self) -> type[smtplib.SMTP]:
        """What speaks to the server."""
        return _OwedOverTls if self.use_ssl else _Owed


class Backend(BaseEmailBackend):
    """Hands every mail to the server that is set at this moment."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        """Send, and raise what the server answered."""
        return connection().send_messages(email_messages) or 0


def parsed() -> dict[str, Any]:
    """EMAIL_URL taken apart; empty where it is not set."""
    url = env.typed("EMAIL_URL")
    return dj_email_url.parse(url) if url else {}


def is_set() -> bool:
    """Whether mail leaves this machine; otherwise it is laid down as files."""
    return parsed().get("EMAIL_BACKEND") == SMTP


def connection() -> BaseEmailBackend:
    """The way that mail takes now: the server that is set, or the mail folder."""
    parts = parsed()
    if parts.get("EMAIL_BACKEND") != SMTP:
        return get_connection(TO_FILES, file_path=str(env.data_dir() / "mail"))
    return get_connection(
        MINDFUL,
        host=parts["EMAIL_HOST"],
        port=parts["EMAIL_PORT"],
        username=parts["EMAIL_HOST_USER"] or "",
        password=parts["EMAIL_HOST_PASSWORD"] or "",
        use_tls=parts["EMAIL_USE_TLS"],
        use_ssl=parts["EMAIL_USE_SSL"],
        timeout=TIMEOUT_S,
    )
