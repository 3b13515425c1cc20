"""The outbox: one row a cause, withdrawn while it can be, nothing smuggled in."""

from datetime import datetime, timedelta
from io import BytesIO
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from PIL import Image

from shop.files import actions as files
from shop.files import rendering
from shop.history.models import Entry
from shop.house.models import House
from shop.people.models import Customer, User
from shop.post import actions, delivery, queries
from shop.post.models import Message, Occasion, Scope, State, Wording
from tests.files.pictures import encoded, picture, upload
from tests.smtp import Received

pytestmark = pytest.mark.django_db


def queue(now: datetime, key: str = "a", **more: Any) -> Message:
    facts: dict[str, Any] = {
        "occasion": Occasion.STAGE,
        "about": "build:1",
        "to": "wren@customers.example",
        "subject": "The Heron",
        "body": "All is well.\n\nSee $link\n",
    }
    return actions.queue_message(key=key, now=now, **(facts | more))


@pytest.fixture
def wren(now: datetime) -> Customer:
    return Customer.objects.create(called="Wren", full_name="Wren Ashdown", since=now)


def test_same_key_gives_the_same_row(house: House, now: datetime) -> None:
    first = queue(now, subject="First")
    again = queue(now + timedelta(hours=1), subject="Second")
    assert (again, again.subject, again.message_id) == (first, "First", first.message_id)
    assert Message.objects.count() == 1


def test_same_key_writes_history_once(house: House, now: datetime) -> None:
    queue(now)
    queue(now)
    assert Entry.objects.filter(verb="message_queued").count() == 1


def test_queueing_wakes_the_worker_once(  # type: ignore[no-untyped-def]
    house: House, now: datetime, django_capture_on_commit_callbacks
) -> None:
    with django_capture_on_commit_callbacks() as wakes:
        queue(now)
        queue(now)
    assert len(wakes) == 1


@pytest.mark.parametrize(
    "subject",
    ["Hi\r\nBcc: all@else.example", "Hi\nBcc: all@else.example", "Hi\u2028Bcc: all@else.example"],
)
def test_line_break_in_a_subject_makes_no_header(
    house: House, smtp_server: Received, now: datetime, subject: str
) -> None:
    delivery.deliver(queue(now, subject=subject).id, now)
    (mail,) = smtp_server.messages
    assert mail["Bcc"] is None
    assert mail["Subject"] == "Hi Bcc: all@else.example"


@pytest.mark.parametrize(
    "to", ["", "nobody", "a@b.example\nBcc: c@d.example", "a@b.example, c@d.example"]
)
def test_what_is_no_address_is_refused(house: House, now: datetime, to: str) -> None:
    with pytest.raises(actions.Refused):
        queue(now, to=to)
    assert not Message.objects.exists()


def test_line_break_in_the_shops_name_makes_no_header(
    house: House, smtp_server: Received, now: datetime
) -> None:
    House.objects.update(name="Larkhill\r\nBcc: all@else.example")
    delivery.deliver(queue(now).id, now)
    assert smtp_server.messages[0]["Bcc"] is None


def test_message_without_text_is_refused(house: House, now: datetime) -> None:
    with pytest.raises(actions.Refused):
        queue(now, body=" \n")


def test_stored_text_holds_no_working_link(
    house: House, smtp_server: Received, now: datetime
) -> None:
    link = actions.link_for(Scope.ORDER, "order:7", now)
    message = queue(now, link=link)
    delivery.deliver(message.id, now)
    message.refresh_from_db()
    assert "See $link" in message.body
    assert queries.url_of(link, house) in smtp_server.messages[0].get_content()


def test_mail_of_a_shop_without_public_address_says_nothing_of_a_link(
    house: House, smtp_server: Received, now: datetime
) -> None:
    House.objects.update(public_url="")
    delivery.deliver(queue(now, link=actions.link_for(Scope.ORDER, "order:7", now)).id, now)
    assert smtp_server.messages[0].get_content().split() == ["All", "is", "well."]


def test_link_renewed_meanwhile_leaves_in_its_new_form(
    house: House, smtp_server: Received, now: datetime
) -> None:
    link = actions.link_for(Scope.ORDER, "order:7", now)
    message = queue(now, link=link)
    renewed = actions.renew(link, None, now)
    delivery.deliver(message.id, now)
    assert queries.url_of(renewed, house) in smtp_server.messages[0].get_content()


def test_withdrawn_message_does_not_leave(
    house: House, smtp_server: Received, owner: User, now: datetime
) -> None:
    message = queue(now)
    actions.withdraw(message, owner, now)
    assert not delivery.deliver(message.id, now)
    assert message.state == State.WITHDRAWN


def test_message_that_left_cannot_be_withdrawn(
    house: House, smtp_server: Received, owner: User, now: datetime
) -> None:
    message = queue(now)
    delivery.deliver(message.id, now)
    with pytest.raises(actions.Refused):
        actions.withdraw(message, owner, now)


def test_message_that_is_leaving_cannot_be_withdrawn(
    house: House, owner: User, now: datetime
) -> None:
    message = queue(now)
    delivery.claim(message.id, now)
    with pytest.raises(actions.Refused):
        actions.withdraw(message, owner, now)


def test_undone_move_withdraws_what_it_caused(house: House, now: datetime) -> None:
    queue(now, "a", cause="move:1")
    queue(now, "b", cause="move:1")
    other = queue(now, "c", cause="move:2")
    plain = queue(now, "d")
    assert actions.withdraw_by_cause("move:1", now) == 2
    assert actions.withdraw_by_cause("", now) == 0
    assert set(queries.queued()) == {other, plain}


def test_message_that_left_is_not_tried_again(
    house: House, smtp_server: Received, owner: User, now: datetime
) -> None:
    message = queue(now)
    delivery.deliver(message.id, now)
    with pytest.raises(actions.Refused):
        actions.try_again(message, owner, now)


def test_what_was_said_elsewhere_is_logged_and_never_sent(
    house: House, owner: User, wren: Customer, now: datetime
) -> None:
    message = actions.log_said(
        about="build:1", body="Told by telephone.", made_by=owner, now=now, customer=wren
    )
    assert message.state == State.LOGGED
    assert delivery.due(now, 10) == []
    assert queries.last_told(["build:1", "build:2"]) == {"build:1": now}


def test_what_a_customer_writes_comes_in_once(house: House, wren: Customer, now: datetime) -> None:
    for _ in range(2):
        actions.receive(key="ask:1", about="order:7", body="When?", now=now, customer=wren)
    assert queries.inbox().count() == 1
    assert queries.counts()[State.RECEIVED] == 1


def test_lists_cost_the_same_however_long(  # type: ignore[no-untyped-def]
    house: House, wren: Customer, owner: User, now: datetime, django_assert_max_num_queries
) -> None:
    for number in range(12):
        queue(now, f"k{number}", customer=wren, made_by=owner)
    with django_assert_max_num_queries(2):
        for message in queries.of_customer(wren):
            assert (message.customer, list(message.blobs.all())) == (wren, [])


def test_photos_go_along_as_jpeg_once_they_are_made(
    house: House, smtp_server: Received, now: datetime
) -> None:
    blob = files.keep(upload(encoded(picture(2000, 1500))), now)
    message = queue(now, blobs=[blob])
    assert not delivery.deliver(message.id, now)
    rendering.render(blob.id, now)
    later = now + delivery.PHOTOS_WAIT
    assert delivery.deliver(message.id, later)
    (photo,) = smtp_server.messages[0].iter_attachments()
    assert photo.get_content_type() == "image/jpeg"
    assert Image.open(BytesIO(photo.get_content())).size == (1600, 1200)
    message.refresh_from_db()
    assert message.tries == 1


def test_photo_that_cannot_be_made_does_not_hold_up_the_mail(
    house: House, smtp_server: Received, now: datetime
) -> None:
    blob = files.keep(upload(encoded(picture(31, 17))), now)
    blob.problem = "It broke."
    blob.save()
    assert delivery.deliver(queue(now, blobs=[blob]).id, now)
    assert list(smtp_server.messages[0].iter_attachments()) == []


def test_mail_for_a_new_password_gets_its_link_as_it_leaves(
    house: House, smtp_server: Received, owner: User, now: datetime
) -> None:
    message = queue(now, occasion=Occasion.PASSWORD, to=owner.email)
    delivery.deliver(message.id, now)
    assert f"{house.bench_url}/new-password/" in smtp_server.messages[0].get_content()
    message.refresh_from_db()
    assert "new-password" not in message.body + queries.text_of(message, house)


def test_mail_for_a_new_password_of_nobody_fails_at_once(
    house: House, smtp_server: Received, now: datetime
) -> None:
    message = queue(now, occasion=Occasion.PASSWORD)
    delivery.deliver(message.id, now)
    message.refresh_from_db()
    assert (message.state, smtp_server.messages) == (State.FAILED, [])


def test_database_refuses_an_occasion_nobody_knows(house: House, now: datetime) -> None:
    sent = queue(now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Message.objects.filter(pk=sent.pk).update(occasion="gossip")
    with pytest.raises(IntegrityError), transaction.atomic():
        Wording.objects.bulk_create([Wording(occasion="gossip", subject="s", body="b")])
