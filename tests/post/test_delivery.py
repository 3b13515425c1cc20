"""Delivery to a real SMTP server: leases, repeats, refusals."""

from datetime import datetime, timedelta
from email.utils import parseaddr
from threading import Barrier, Thread
from typing import Any

import pytest
from django.db import connection

from shop.house.models import House
from shop.post import actions, delivery, tasks
from shop.post.models import Message, Occasion, State
from tests.smtp import Received

pytestmark = pytest.mark.django_db


def queue(now: datetime, key: str = "a", **more: Any) -> Message:
    facts: dict[str, Any] = {
        "occasion": Occasion.FREE,
        "about": "build:1",
        "to": "wren@customers.example",
        "subject": "The Heron",
        "body": "Hello Wren,\n\nall is well.\n",
    }
    return actions.queue_message(key=key, now=now, **(facts | more))


def test_queued_message_arrives(house: House, smtp_server: Received, now: datetime) -> None:
    message = queue(now)
    assert delivery.deliver(message.id, now)
    (mail,) = smtp_server.messages
    assert mail["Subject"] == "The Heron"
    assert mail["To"] == "wren@customers.example"
    assert mail.get_content().splitlines() == ["Hello Wren,", "", "all is well."]


def test_mail_comes_from_the_shop(house: House, smtp_server: Received, now: datetime) -> None:
    delivery.deliver(queue(now).id, now)
    (mail,) = smtp_server.messages
    assert parseaddr(mail["From"]) == ("Larkhill Works", "bench@larkhill.example")
    assert mail["Reply-To"] == "bench@larkhill.example"


def test_message_id_is_the_one_made_at_queueing(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now)
    delivery.deliver(message.id, now)
    assert smtp_server.messages[0]["Message-ID"] == message.message_id


def test_customer_mail_is_not_marked_automatic(
    house: House, smtp_server: Received, now: datetime
) -> None:
    delivery.deliver(queue(now).id, now)
    assert smtp_server.messages[0]["Auto-Submitted"] is None


def test_reminder_is_marked_automatic(house: House, smtp_server: Received, now: datetime) -> None:
    delivery.deliver(queue(now, occasion=Occasion.SHIP_BY).id, now)
    assert smtp_server.messages[0]["Auto-Submitted"] == "auto-generated"


def test_sent_message_says_when(house: House, smtp_server: Received, now: datetime) -> None:
    message = queue(now)
    delivery.deliver(message.id, now)
    message.refresh_from_db()
    assert (message.state, message.done_at, message.leased_until) == (State.SENT, now, None)


def test_task_run_twice_sends_once(house: House, smtp_server: Received, now: datetime) -> None:
    message = queue(now)
    tasks.deliver(message.id)
    tasks.deliver(message.id)
    assert len(smtp_server.messages) == 1


def test_sweep_run_twice_sends_each_once(
    house: House, smtp_server: Received, now: datetime
) -> None:
    for key in "abc":
        queue(now, key)
    tasks.sweep()
    tasks.sweep()
    assert len(smtp_server.messages) == 3


def test_vanished_message_is_no_error(house: House, smtp_server: Received) -> None:
    tasks.deliver(987654)
    assert smtp_server.messages == []


def test_message_does_not_leave_before_its_time(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now, not_before=now + timedelta(seconds=60))
    assert not delivery.deliver(message.id, now + timedelta(seconds=59))
    assert delivery.deliver(message.id, now + timedelta(seconds=60))


def test_second_claim_gets_nothing(house: House, now: datetime) -> None:
    message = queue(now)
    assert delivery.claim(message.id, now) is not None
    assert delivery.claim(message.id, now + timedelta(seconds=49)) is None


def test_lease_runs_out(house: House, now: datetime) -> None:
    message = queue(now)
    delivery.claim(message.id, now)
    assert delivery.claim(message.id, now + timedelta(seconds=50)) is not None


def test_claimed_message_is_not_due(house: House, now: datetime) -> None:
    message = queue(now)
    delivery.claim(message.id, now)
    assert delivery.due(now, 10) == []
    assert delivery.due(now + delivery.LEASE, 10) == [message.id]


@pytest.mark.django_db(transaction=True)
def test_two_workers_at_once_send_one_mail(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message, start = queue(now), Barrier(4)

    def work() -> None:
        start.wait()
        delivery.deliver(message.id, now)
        connection.close()

    workers = [Thread(target=work) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(smtp_server.messages) == 1


def test_refusal_for_now_is_tried_again_later(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now)
    smtp_server.answer_rcpt = "451 mailbox is busy"
    assert not delivery.deliver(message.id, now)
    message.refresh_from_db()
    assert (message.state, message.last_error) == (State.QUEUED, "451 mailbox is busy")
    smtp_server.answer_rcpt = ""
    assert delivery.deliver(message.id, now + timedelta(seconds=60))


def test_refusal_for_good_fails_with_the_servers_words(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now)
    smtp_server.answer_rcpt = "550 no such mailbox"
    for minute in range(3):
        delivery.deliver(message.id, now + timedelta(minutes=minute))
    message.refresh_from_db()
    assert (message.state, message.last_error) == (State.FAILED, "550 no such mailbox")


def test_refused_content_fails_with_the_servers_words(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now)
    smtp_server.answer_data = "552 message is too big"
    for minute in range(3):
        delivery.deliver(message.id, now + timedelta(minutes=minute))
    message.refresh_from_db()
    assert (message.state, message.last_error) == (State.FAILED, "552 message is too big")


def test_failed_message_leaves_when_tried_again(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now)
    Message.objects.update(state=State.FAILED, tries=3, last_error="550 no", done_at=now)
    actions.try_again(message, None, now)
    assert delivery.deliver(message.id, now)


def test_server_that_is_gone_is_waited_for(
    house: House, smtp_server: Received, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    message = queue(now)
    monkeypatch.setenv("EMAIL_URL", "smtp://127.0.0.1:9")
    assert not delivery.deliver(message.id, now)
    message.refresh_from_db()
    assert message.state == State.QUEUED
    assert message.last_error.startswith("The mail server could not be reached:")
    assert message.not_before == now + timedelta(seconds=5)


def test_message_that_killed_every_worker_is_given_up(house: House, now: datetime) -> None:
    message = queue(now)
    Message.objects.update(tries=85, leased_until=now)
    assert delivery.due(now, 10) == []
    assert delivery.bury_the_worn_out(now) == 1
    message.refresh_from_db()
    assert message.state == State.FAILED
    assert message.last_error


def test_late_failure_of_a_lost_lease_changes_nothing(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now)
    slow = delivery.claim(message.id, now)
    assert slow is not None
    later = now + delivery.LEASE
    delivery.claim(message.id, later)
    delivery._failed(slow, delivery.judge(OSError("late")), later)
    message.refresh_from_db()
    assert message.leased_until == later + delivery.LEASE
