"""Sound files that customers send on their page: kept as theirs, told, limited."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from builds.sounds.models import SoundSet
from builds.sounds.queries.sets import allowed_for
from builds.visitor import views
from shop.models import Message, Order
from shop.post.models import State
from tests.bench.pages import words
from tests.makers import make_customer
from tests.sounds.making import sine, wave, zipped

pytestmark = pytest.mark.usefixtures("build")
HUM = wave(sine())


def send(client: Client, url: str, files: dict[str, bytes], **said: Any) -> Any:
    uploads = [SimpleUploadedFile(name, content) for name, content in files.items()]
    fields = {"once": uuid4(), "about": "for the second slot"} | said
    return client.post(f"{url}sounds/", fields | {"sounds": uploads})


def test_files_are_kept_as_the_customers_own(stranger: Client, url: str, order: Order) -> None:
    answer = send(stranger, url, {"hum.wav": HUM, "swing.wav": HUM})
    assert answer.status_code == 303
    kept = SoundSet.objects.get()
    assert (kept.licence, kept.customer, kept.added_by) == ("one-buyer", order.customer, None)
    assert kept.files.count() == 2
    assert "your sound files are with us" in words(stranger.get(answer.headers["Location"]))


def test_nobody_else_is_offered_them(stranger: Client, url: str, now: datetime) -> None:
    send(stranger, url, {"set.zip": zipped({"hum.wav": HUM})})
    assert not allowed_for(make_customer(now, "Sable").pk).exists()


def test_shop_is_told_what_came(stranger: Client, url: str, order: Order) -> None:
    once = uuid4()
    for _tap in range(2):
        send(stranger, url, {"hum.wav": HUM}, once=once)
    told = Message.objects.get(state=State.RECEIVED)
    assert told.about == f"order:{order.pk}"
    assert "sent sound files: 1" in told.subject
    assert "for the second slot" in told.body


@pytest.mark.parametrize(
    ("files", "why"),
    [
        ({}, "Choose a zip or sound files first."),
        ({"set.zip": b"hello"}, "This is no zip archive."),
        ({"set.zip": zipped({f"{n}.wav": b"x" for n in range(3000)})}, "more than 2000 files"),
    ],
)
def test_what_is_not_taken_says_why(
    stranger: Client, url: str, files: dict[str, bytes], why: str
) -> None:
    answer = send(stranger, url, files)
    assert answer.status_code == 422
    assert why in words(answer)
    assert 'value="for the second slot"' in answer.content.decode()


def test_a_day_has_a_limit(stranger: Client, url: str) -> None:
    for _set in range(views.MOST_SETS):
        assert send(stranger, url, {"hum.wav": HUM}).status_code == 303
    assert send(stranger, url, {"hum.wav": HUM}).status_code == 429


def test_too_much_at_once_is_refused_unread(stranger: Client, url: str) -> None:
    big = {"hum.wav": bytes(views.MOST_SENT + 200_000)}
    answer = send(stranger, url, big)
    assert answer.status_code == 413
    assert "more than 60 MB" in words(answer)


def test_wrong_link_leaves_no_file(stranger: Client, url: str) -> None:
    wrong = url.replace("order/", "order/x")
    assert send(stranger, wrong, {"hum.wav": HUM}).status_code == 400
    assert not SoundSet.objects.exists()


def test_looking_at_the_address_leads_to_the_page(stranger: Client, url: str) -> None:
    assert stranger.get(f"{url}sounds/").status_code == 303
