"""A mail server that breaks off half-way: no mail is lost, none comes twice unsaid."""

from collections.abc import Iterator
from datetime import datetime, timedelta

import pytest
from django.test import Client
from pytest_django import Settings

from shop.history.models import Entry
from shop.models import House, Message
from shop.post import delivery
from shop.post.models import State
from shop.web import mailserver
from tests.faults import breaking_smtp
from tests.faults.breaking_smtp import AFTER_BODY, AFTER_DATA, HALF_BODY, Breaking
from tests.post.test_delivery import queue

pytestmark = pytest.mark.django_db
A_WHILE = timedelta(minutes=2)
DOUBT = "it may have arrived"


@pytest.fixture
def server(house: House, settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[Breaking]:
    with breaking_smtp.breaking() as found:
        settings.EMAIL_BACKEND = "shop.web.mailserver.Backend"
        monkeypatch.setenv("EMAIL_URL", found.url)
        monkeypatch.setattr(mailserver, "TIMEOUT_S", 1)
        yield found


def _tried(message: Message, now: datetime) -> Message:
    delivery.deliver(message.pk, now)
    message.refresh_from_db()
    return message


@pytest.mark.parametrize("is_silent", [False, True], ids=["closes", "hangs"])
@pytest.mark.parametrize("where", [AFTER_DATA, HALF_BODY, AFTER_BODY])
def test_mail_waits_for_its_next_try_and_arrives(
    server: Breaking, now: datetime, where: str, is_silent: bool
) -> None:
    server.breaks_at, server.is_silent = where, is_silent
    message = _tried(queue(now), now)
    assert (message.state, message.leased_until) == (State.QUEUED, None)
    assert message.not_before > now
    assert message.last_error
    server.breaks_at = ""
    assert _tried(message, now + A_WHILE).state == State.SENT
    assert len(server.taken) == (2 if where == AFTER_BODY else 1)


def test_mail_that_may_have_come_twice_is_the_same_mail_and_that_is_said(
    server: Breaking, now: datetime, owner_client: Client
) -> None:
    server.breaks_at = AFTER_BODY
    message = _tried(queue(now), now)
    assert DOUBT in message.last_error
    assert DOUBT in owner_client.get("/messages/").text
    server.breaks_at = ""
    _tried(message, now + A_WHILE)
    ids = {line for mail in server.taken for line in mail.splitlines() if b"Message-ID" in line}
    assert (len(server.taken), len(ids)) == (2, 1)
    entry = Entry.objects.get(verb="message_in_doubt")
    assert (entry.about, entry.parameters["message"]) == (message.about, message.pk)


def test_mail_that_cannot_have_come_raises_no_doubt(server: Breaking, now: datetime) -> None:
    server.breaks_at = AFTER_DATA
    assert DOUBT not in _tried(queue(now), now).last_error
    assert not Entry.objects.filter(verb="message_in_doubt").exists()


@pytest.mark.parametrize(
    ("answers", "tries", "state"),
    [
        ({"answer_rcpt": "450 later"}, 1, State.QUEUED),
        ({"answer_rcpt": "550 nobody"}, 3, State.FAILED),
        ({"answer_body": "451 later"}, 1, State.QUEUED),
        ({"answer_body": "554 never"}, 3, State.FAILED),
        ({"answer_rcpt": "421 closing"}, 1, State.QUEUED),
    ],
)
def test_what_it_answers_stands_beside_the_mail(
    server: Breaking, now: datetime, owner_client: Client, answers: dict[str, str], tries: int,
    state: str,
) -> None:  # fmt: skip
    for name, words in answers.items():
        setattr(server, name, words)
    message = queue(now)
    for number in range(tries):
        _tried(message, now + number * A_WHILE)
    assert message.state == state
    (words,) = answers.values()
    assert words in message.last_error
    tab = "failed" if state == State.FAILED else "waiting"
    assert words in owner_client.get(f"/messages/?show={tab}").text
    assert server.taken == []


def test_one_that_hangs_holds_up_no_other(server: Breaking, now: datetime) -> None:
    server.breaks_at, server.is_silent = AFTER_DATA, True
    first, second = queue(now, "a"), queue(now, "b")
    _tried(first, now)
    server.breaks_at = ""
    assert _tried(second, now).state == State.SENT
    assert delivery.due(now, 10) == []
    assert delivery.due(now + A_WHILE, 10) == [first.pk]
