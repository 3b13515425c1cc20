"""Telling a customer without mail: a text to share, and a note of what was said."""

import re
from html import unescape
from uuid import uuid4

from django.test import Client

from builds.progress.models import Build
from shop.history.words import sentence
from shop.models import Customer, Entry, House, Message, PrivateLink, User
from shop.post.actions import revoke
from shop.post.models import State as Post
from tests.conftest import NOW
from tests.smtp import Received


def test_customer_without_mail_address_is_told_by_text_to_share(
    bench_client: Client, url: str, smtp_server: Received
) -> None:
    Customer.objects.update(email="")
    page = unescape(bench_client.get(url).content.decode())
    assert "No mail address is on file for Ines." in page
    assert "https://larkhill.example/your/order/" in page
    assert 'href="sms:02079460123?&body=Hello%20Ines' in page


def test_shop_without_smtp_server_says_so(bench_client: Client, url: str) -> None:
    assert "No mail server is set" in bench_client.get(url).content.decode()


def test_nothing_is_queued_without_a_smtp_server(bench_client: Client, url: str) -> None:
    fields = {"token": str(uuid4()), "occasion": "free", "subject": "x", "body": "y"}
    assert bench_client.post(url, fields).status_code == 422
    assert not Message.objects.exists()


def test_year_mistyped_by_far_is_refused_in_words(bench_client: Client, url: str) -> None:
    House.objects.update(zone_name="Asia/Tokyo")  # its year 1 begins in no year of UTC
    said = {"token": str(uuid4()), "occasion": "free", "how": "telephone", "words": "Yes."}
    answer = bench_client.post(f"{url}said/", said | {"said_at": "0001-01-01T00:00"})
    assert answer.status_code == 422
    assert "That is too long ago. Look at the year." in answer.content.decode()


def test_what_was_said_elsewhere_is_noted_once(
    bench_client: Client, url: str, build: Build
) -> None:
    said = {
        "token": str(uuid4()),
        "occasion": "free",
        "how": "telephone",
        "words": "It ships Monday.",
    }
    bench_client.post(f"{url}said/", said)
    bench_client.post(f"{url}said/", said)
    noted = Message.objects.get()
    assert (noted.state, noted.subject) == (Post.LOGGED, "by telephone")
    told = Entry.objects.get(verb="message_logged")
    assert told.about == build.about
    in_words = sentence(told.verb, told.parameters)
    assert in_words == "Said elsewhere: by telephone, in your own words"


def test_link_pasted_into_a_chat_is_not_kept(bench_client: Client, url: str) -> None:
    page = unescape(bench_client.get(url).content.decode())
    found = re.search(r"https://larkhill\.example/your/order/[^\s<]+/", page)
    assert found
    said = {"token": str(uuid4()), "occasion": "free", "how": "chat", "words": f"See {found[0]}"}
    bench_client.post(f"{url}said/", said)
    assert Message.objects.get().body == "See $link"


def test_note_without_how_is_refused_and_kept(bench_client: Client, url: str) -> None:
    said = {"token": str(uuid4()), "occasion": "free", "words": "It ships Monday."}
    response = bench_client.post(f"{url}said/", said)
    assert response.status_code == 422
    assert "It ships Monday." in response.content.decode()


def test_revoked_link_is_named_as_the_reason_for_none(
    bench_client: Client, url: str, owner: User, smtp_server: Received
) -> None:
    bench_client.get(url)
    revoke(PrivateLink.objects.get(), owner, NOW)
    page = unescape(bench_client.get(url).content.decode())
    assert "The customer's link is revoked" in page
    assert "/your/order/" not in page
