"""Makes text safe for the head of a mail: one line, no control signs."""

import secrets

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _

from shop.post.refusals import Refused

SUBJECT_LENGTH = 200


def one_line(text: str, at_most: int = SUBJECT_LENGTH) -> str:
    """Text on one line: a line break in a subject would begin a header of its own."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())[:at_most]


def plain_text(text: str) -> str:
    """A body with plain line ends, and without the one sign that no database keeps."""
    return text.replace("\r\n", "\n").replace("\r", "\n").replace("\x00", "")


def address(text: str) -> str:
    """A mail address, or a refusal."""
    cleaned = text.strip()
    try:
        validate_email(cleaned)
    except ValidationError as error:
        if not cleaned:
            raise Refused(_("There is no mail address to send to.")) from error
        raise Refused(_("“%s” is not a mail address.") % one_line(cleaned, 80)) from error
    return cleaned


def message_id(mailbox: str) -> str:
    """A Message-ID of our own. It is made once, so that a repeat is known for one."""
    domain = _ascii(mailbox.rpartition("@")[2])
    return f"<{secrets.token_hex(16)}@{domain[:80] or 'hiltyard.invalid'}>"


def _ascii(domain: str) -> str:
    try:
        return domain.encode("idna").decode("ascii")
    except UnicodeError:
        return ""
