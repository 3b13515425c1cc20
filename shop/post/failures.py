"""What went wrong with a mail: later, or never; in the server's own words."""

from dataclasses import dataclass
from datetime import timedelta
from smtplib import (
    SMTPAuthenticationError,
    SMTPDataError,
    SMTPException,
    SMTPRecipientsRefused,
    SMTPResponseException,
)

from celery.exceptions import SoftTimeLimitExceeded
from django.utils.translation import gettext as _

from shop.web.mailserver import MayHaveArrived

FIRST_WAIT_S = 5
# Ten tries take about eight minutes; then the waits double up to an hour, for about three days.
QUICK_TRIES = 10
QUICK_CAP_S, SLOW_CAP_S = 60, 3600
MOST_TRIES = 85
# A server that says "never" is asked thrice: some say it while they only mean "not yet".
MOST_REFUSALS = 3


@dataclass(frozen=True)
class Failure:
    """One failed try."""

    words: str
    at_most: int = MOST_TRIES
    may_have_arrived: bool = False

    def ends(self, tries: int) -> bool:
        """Whether there is no use in another try after so many."""
        return tries >= self.at_most


class Pointless(Exception):
    """A mail that would be of no use, with the reason; it is not tried again."""


def judge(error: Exception) -> Failure:
    """Tell a mail that cannot arrive from a server that cannot be reached or used just now.

    Only a refusal of this recipient or of this content is about the mail. A refused password or
    sender is about the settings: it is kept until the owner has mended them.
    """
    if isinstance(error, SMTPRecipientsRefused):
        answers = list(error.recipients.values())
        words = "; ".join(_spoken(code, text) for code, text in answers)
        never = all(code >= 500 for code, _text in answers)
        return Failure(words, MOST_REFUSALS if never else MOST_TRIES)
    if isinstance(error, SMTPAuthenticationError):
        said = _spoken(error.smtp_code, error.smtp_error)
        return Failure(_("The mail server refused the user name or password: %s") % said)
    if isinstance(error, SMTPResponseException):
        never = isinstance(error, SMTPDataError) and error.smtp_code >= 500
        said = _spoken(error.smtp_code, error.smtp_error)
        return Failure(said, MOST_REFUSALS if never else MOST_TRIES)
    if isinstance(error, MayHaveArrived):
        said = _(
            "The mail server broke off after it was handed the mail, so it may have arrived. It "
            "is sent again as the same mail."
        )
        return Failure(said, may_have_arrived=True)
    if isinstance(error, SMTPException):
        return Failure(_("The mail server broke off: %s") % error)
    if isinstance(error, OSError):
        return Failure(_("The mail server could not be reached: %s") % error)
    if isinstance(error, SoftTimeLimitExceeded):
        return Failure(_("The mail server took too long to answer."))
    if isinstance(error, Pointless):
        return Failure(str(error), at_most=1)
    return Failure(f"{type(error).__name__}: {error}", MOST_REFUSALS)


def wait_after(tries: int) -> timedelta:
    """How long to wait after so many tries: at most a minute at first, at most an hour later."""
    if tries <= QUICK_TRIES:
        return timedelta(seconds=min(QUICK_CAP_S, FIRST_WAIT_S * 2 ** max(0, tries - 1)))
    return timedelta(seconds=min(SLOW_CAP_S, QUICK_CAP_S * 2 ** min(tries - QUICK_TRIES, 10)))


def _spoken(code: int, text: bytes | str) -> str:
    words = text.decode("utf-8", "replace") if isinstance(text, bytes) else text
    return f"{code} {' '.join(words.split())}"
