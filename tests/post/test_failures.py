"""What a failed try means: again later, or never."""

from smtplib import (
    SMTPAuthenticationError,
    SMTPConnectError,
    SMTPDataError,
    SMTPRecipientsRefused,
    SMTPSenderRefused,
    SMTPServerDisconnected,
)

import pytest

from shop.post.failures import MOST_REFUSALS, MOST_TRIES, judge, wait_after


@pytest.mark.parametrize(
    ("error", "is_final", "words"),
    [
        (SMTPRecipientsRefused({"a": (550, b"no such\nmailbox")}), True, "550 no such mailbox"),
        (SMTPRecipientsRefused({"a": (451, b"later")}), False, "451 later"),
        (SMTPDataError(554, b"looks like spam"), True, "554 looks like spam"),
        (SMTPDataError(452, b"disk full"), False, "452 disk full"),
        (SMTPSenderRefused(553, b"not yours", "a@b.example"), False, "553 not yours"),
        (SMTPAuthenticationError(535, b"wrong"), False, "535 wrong"),
        (SMTPConnectError(554, b"closed today"), False, "554 closed today"),
        (SMTPServerDisconnected("gone"), False, "gone"),
        (TimeoutError("timed out"), False, "timed out"),
        (ConnectionRefusedError(111, "refused"), False, "refused"),
    ],
)
def test_failure_is_judged_in_the_servers_words(
    error: Exception, is_final: bool, words: str
) -> None:
    failure = judge(error)
    assert failure.ends(MOST_REFUSALS) == is_final
    assert words in failure.words


def test_waits_are_short_at_first_and_long_later() -> None:
    waits = [wait_after(tries).total_seconds() for tries in range(1, MOST_TRIES)]
    assert waits[:5] == [5, 10, 20, 40, 60]
    assert max(waits[:10]) == 60
    assert max(waits) == 3600
    assert waits == sorted(waits)


def test_tries_end_after_about_three_days() -> None:
    total = sum(wait_after(tries).total_seconds() for tries in range(1, MOST_TRIES))
    assert 2.8 < total / 86_400 < 3.3
