"""Telling a customer: the fitting words, one message a tap, by mail or otherwise."""

import re
from datetime import date, datetime, timedelta
from html import unescape
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates.actions import undo
from builds.intake.actions import match, receive
from builds.progress.actions import move
from builds.progress.models import Build
from builds.progress.states import State, Turn
from builds.queue.models import Promise
from shop.history.words import sentence
from shop.models import Entry, Message, User
from shop.post import delivery
from shop.post.models import Occasion
from shop.post.models import State as Post
from tests.smtp import Received
from tests.visitor import making

MONDAY = date(2026, 11, 30)


def opened(client: Client, url: str) -> dict[str, str]:
    """The fields of the message as a browser would send them back untouched."""
    page = client.get(url).content.decode()
    fields = {}
    for name in ("token", "occasion", "subject"):
        found = re.search(
            rf'name="{name}"[^>]* value="([^"]*)"|value="([^"]*)" name="{name}"', page
        )
        assert found, name
        fields[name] = unescape(found[1] or found[2] or "")
    body = re.search(r'<textarea name="body"[^>]*>\n?(.*?)</textarea>', page, re.S)
    assert body
    return fields | {"body": unescape(body[1])}


def test_stranger_is_sent_to_sign_in(stranger: Client, url: str) -> None:
    assert "/sign-in/" in stranger.get(url).url


@pytest.mark.parametrize("key", ["9" * 40, "0", "x"])
def test_photo_that_cannot_be_is_refused_in_words(
    bench_client: Client, url: str, smtp_server: Received, key: str
) -> None:
    answer = bench_client.post(url, opened(bench_client, url) | {"photos": key})
    assert answer.status_code == 422


def test_build_at_work_opens_with_its_stage(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    fields = opened(bench_client, url)
    assert fields["occasion"] == Occasion.STAGE
    assert fields["subject"] == "Copperfen: install"


def test_build_that_came_opens_with_arrived(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    build.state = State.INTAKE
    build.save()
    came = receive(token=uuid4(), fields={"box": "sound"}, by=owner, now=now)
    match(came, build, owner, now)
    assert opened(bench_client, url)["occasion"] == Occasion.ARRIVED


def test_customers_turn_opens_with_the_hold_and_its_words(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.held(build, owner, now)
    fields = opened(bench_client, url)
    assert fields["occasion"] == Occasion.HOLD
    assert "May we heat the joint?" in fields["body"]


def test_hold_of_the_shops_own_is_not_told(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.held(build, owner, now, turn=Turn.SHOP)
    assert "May we heat the joint?" not in opened(bench_client, url)["body"]


def test_closed_parcel_opens_with_its_day(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.packed(build, owner, now)
    fields = opened(bench_client, url)
    assert fields["occasion"] == Occasion.SHIPS_ON
    assert "Monday 30 November" in fields["body"]


def test_sent_build_opens_with_its_tracking(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.packed(build, owner, now)
    build.packed.get().parcel.__class__.objects.update(carrier="Fenpost", tracking="FP 00 17")
    build.state, build.tray = State.SENT, None
    build.save()
    fields = opened(bench_client, url)
    assert fields["occasion"] == Occasion.SENT
    assert "FP 00 17" in fields["body"]


def test_late_build_wants_a_new_day_before_it_is_told(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    past = now - timedelta(days=5)
    Promise.objects.create(build=build, day=date(2026, 11, 20), at=past, by=owner)
    fields = opened(bench_client, url)
    assert fields["occasion"] == Occasion.LATE
    response = bench_client.post(url, fields)
    assert response.status_code == 422
    assert "Nothing is known for $day yet" in response.content.decode()


def test_second_tap_sends_the_mail(
    bench_client: Client, url: str, build: Build, now: datetime, smtp_server: Received
) -> None:
    response = bench_client.post(url, opened(bench_client, url))
    assert response.status_code == 303
    assert delivery.deliver(Message.objects.get().pk, now)
    mail = smtp_server.messages[0]
    assert mail["To"] == "ines@example.com"
    assert "Hello Ines" in mail.get_content()


def test_mail_holds_a_link_that_opens_the_page(
    bench_client: Client, url: str, now: datetime, smtp_server: Received
) -> None:
    bench_client.post(url, opened(bench_client, url))
    delivery.deliver(Message.objects.get().pk, now)
    text = smtp_server.messages[0].get_content()
    found = re.search(r"https://larkhill\.example(/your/order/\S+/)", text)
    assert found
    assert Client().get(found[1]).status_code == 200


def test_no_working_link_lies_in_the_database(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    bench_client.post(url, opened(bench_client, url))
    body = Message.objects.get().body
    assert "$link" in body
    assert "/your/order/" not in body


def test_double_tap_sends_once(bench_client: Client, url: str, smtp_server: Received) -> None:
    fields = opened(bench_client, url)
    first, second = bench_client.post(url, fields), bench_client.post(url, fields)
    assert (first.status_code, second.status_code) == (303, 303)
    assert Message.objects.count() == 1
    assert Entry.objects.filter(verb="message_queued").count() == 1


def test_other_words_under_the_same_tap_are_not_lost(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    fields = opened(bench_client, url)
    bench_client.post(url, fields)
    response = bench_client.post(url, fields | {"body": "Something else."})
    assert response.status_code == 422
    assert "Something else." in response.content.decode()
    assert Message.objects.count() == 1


def test_day_of_leaving_is_told_once(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.packed(build, owner, now)
    fields = opened(bench_client, url)
    bench_client.post(url, fields)
    bench_client.post(url, fields | {"token": str(uuid4())})
    assert Message.objects.get().key == f"ships_on:{build.pk}:2026-11-30"
    assert "This day was told already" in bench_client.get(url).content.decode()


def test_same_news_can_be_said_again_in_own_words(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.packed(build, owner, now)
    bench_client.post(url, opened(bench_client, url))
    again = opened(bench_client, f"{url}?occasion=free") | {"body": "Really, on Monday."}
    bench_client.post(url, again)
    assert Message.objects.count() == 2


def test_day_can_be_told_again_after_its_message_was_withdrawn(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    making.packed(build, owner, now)
    bench_client.post(url, opened(bench_client, url))
    Message.objects.update(state=Post.WITHDRAWN)
    bench_client.post(url, opened(bench_client, url))
    assert Message.objects.filter(state=Post.QUEUED).count() == 1


def test_message_after_a_move_waits_out_the_minute(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    at = now - timedelta(seconds=20)
    moved = move(build.pk, token=uuid4(), expected="install", to="test", by=owner, now=at)
    bench_client.post(url, opened(bench_client, url))
    message = Message.objects.get()
    assert message.cause == f"move:{moved.pk}"
    assert message.not_before == at + timedelta(seconds=60)
    assert not delivery.deliver(message.pk, now)


def test_message_of_a_move_taken_back_never_leaves(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    moved = move(build.pk, token=uuid4(), expected="install", to="test", by=owner, now=now)
    bench_client.post(url, opened(bench_client, url))
    undo(moved.pk, token=uuid4(), by=owner, now=now + timedelta(seconds=30))
    assert not delivery.deliver(Message.objects.get().pk, now + timedelta(minutes=2))
    assert smtp_server.messages == []


def test_message_long_after_a_move_leaves_at_once(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    at = now - timedelta(minutes=5)
    move(build.pk, token=uuid4(), expected="install", to="test", by=owner, now=at)
    bench_client.post(url, opened(bench_client, url))
    assert Message.objects.get().not_before == now


@pytest.mark.parametrize("field", ["subject", "body"])
def test_placeholder_that_stands_for_nothing_is_refused_by_name(
    bench_client: Client, url: str, field: str, smtp_server: Received
) -> None:
    response = bench_client.post(url, opened(bench_client, url) | {field: "Dear $whoever"})
    assert response.status_code == 422
    assert "$whoever stands for nothing" in unescape(response.content.decode())
    assert not Message.objects.exists()


def test_placeholder_typed_by_hand_is_filled(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    bench_client.post(url, opened(bench_client, url) | {"body": "$hilt is fine, $name."})
    assert Message.objects.get().body == "Copperfen is fine, Ines."


def test_link_in_the_subject_is_refused(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    response = bench_client.post(url, opened(bench_client, url) | {"subject": "See $link"})
    assert response.status_code == 422


def test_picked_photo_goes_along_and_stays_private(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    photo = making.photo(build, owner, now, shared=False)
    bench_client.post(url, opened(bench_client, url) | {"photos": [photo.pk]})
    delivery.deliver(Message.objects.get().pk, now)
    attached = list(smtp_server.messages[0].iter_attachments())
    assert [part.get_content_type() for part in attached] == ["image/jpeg"]
    photo.refresh_from_db()
    assert not photo.shared


def test_picked_photo_is_shared_by_its_own_tick(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    photo = making.photo(build, owner, now, shared=False)
    bench_client.post(url, opened(bench_client, url) | {"photos": [photo.pk], "share": "on"})
    photo.refresh_from_db()
    assert photo.shared


def test_photo_of_another_build_cannot_be_sent(
    bench_client: Client, url: str, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    other = making.build(build.item.order, owner, now, hilt="Long Quiet", state=State.TEST)
    photo = making.photo(other, owner, now, shared=True)
    response = bench_client.post(url, opened(bench_client, url) | {"photos": [photo.pk]})
    assert response.status_code == 422


def test_what_was_told_stands_on_the_page(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    bench_client.post(url, opened(bench_client, url) | {"subject": "News of the bench"})
    assert "News of the bench" in bench_client.get(url).content.decode()


def test_history_says_once_what_the_customer_was_told(
    bench_client: Client, url: str, build: Build, smtp_server: Received
) -> None:
    before = Entry.objects.count()
    bench_client.post(url, opened(bench_client, url))
    entries = Entry.objects.order_by("pk")[before:]
    said = [sentence(entry.verb, entry.parameters) for entry in entries]
    assert said == ["Message written: a stage was reached"]
