"""Enquiries at the desk: noted, answered, made an order of, closed with the reason."""

from datetime import datetime, timedelta
from html import unescape
from typing import Any
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from shop.models import Customer, Enquiry, Order, User
from shop.orders import enquiries as actions
from tests.bench.pages import hidden, words
from tests.visitor.making import drawing

NEW = "/enquiries/new/"


@pytest.fixture
def enquiry(owner: User, now: datetime) -> Enquiry:
    fields = {
        "called": "Pim Vane",
        "contact": "pim@example.com, 01632 960 117, pim in the chat",
        "wishes": "Two switches, amber",
    }
    return actions.note_enquiry(fields, token=uuid4(), by=owner, now=now)


def send(client: Client, url: str, **fields: Any) -> Any:
    return client.post(url, fields, follow=True)


def noted(client: Client, **more: Any) -> Any:
    fields = {"token": uuid4(), "called": "Pim", "wishes": "a board", **more}
    return send(client, NEW, **fields)


def test_first_page_says_what_to_do(bench_client: Client, house: object) -> None:
    assert "Nobody has asked yet" in words(bench_client.get("/enquiries/"))


def test_somebody_new_is_noted_in_loose_words(bench_client: Client, house: object) -> None:
    reply = noted(bench_client, contact="pim in the chat", how="chat")
    assert "The enquiry is noted." in words(reply)
    assert "pim in the chat" in words(reply)


def test_one_we_know_needs_no_name(bench_client: Client, maud: Customer) -> None:
    noted(bench_client, called="", customer=maud.pk)
    assert Enquiry.objects.get().customer == maud


def test_double_tap_notes_once(bench_client: Client, house: object) -> None:
    token = uuid4()
    for _ in range(2):
        noted(bench_client, token=token)
    assert Enquiry.objects.count() == 1


def test_nobody_is_asked_for_and_nothing_is_lost(bench_client: Client, house: object) -> None:
    reply = noted(bench_client, called="", wishes="a board with two switches")
    assert reply.status_code == 422
    assert "Who asks?" in words(reply)
    assert "a board with two switches" in words(reply)


def test_list_shows_one_state_at_a_time(bench_client: Client, enquiry: Enquiry) -> None:
    assert "Two switches, amber" in words(bench_client.get("/enquiries/"))
    send(bench_client, f"/enquiries/{enquiry.pk}/answered/")
    assert "Two switches, amber" not in words(bench_client.get("/enquiries/"))
    assert "Two switches, amber" in words(bench_client.get("/enquiries/?show=answered"))


def test_lost_without_a_reason_is_refused(bench_client: Client, enquiry: Enquiry) -> None:
    reply = send(bench_client, f"/enquiries/{enquiry.pk}/lost/", why="")
    assert reply.status_code == 422
    assert "Write down in a few words why." in words(reply)


def test_lost_keeps_its_reason_and_can_be_opened(bench_client: Client, enquiry: Enquiry) -> None:
    reply = send(bench_client, f"/enquiries/{enquiry.pk}/lost/", why="too dear")
    assert "It came to nothing: too dear" in words(reply)
    assert "not answered yet" in words(send(bench_client, f"/enquiries/{enquiry.pk}/open/"))


def test_order_begins_with_the_words_of_the_enquiry(owner_client: Client, enquiry: Enquiry) -> None:
    page = unescape(owner_client.get(f"/orders/new/?enquiry={enquiry.pk}").content.decode())
    assert "Two switches, amber</textarea>" in page
    for value in ("Pim", "Pim Vane", "pim@example.com", "01632 960 117"):
        assert f'value="{value}"' in page
    assert "pim in the chat</textarea>" in page


def order_of(client: Client, enquiry: Enquiry, **more: Any) -> Any:
    page = client.get(f"/orders/new/?enquiry={enquiry.pk}").content.decode()
    fields = {
        "token": hidden(page, "token"), "enquiry": hidden(page, "enquiry"), "customer": "new",
        "new-called": "Pim", "hilt": "other", "hilt_name": "Amberlight", "kind": "full",
        "wanted": "Two switches, amber", "leaves_by": "post", "agreed_how": "no", **more,
    }  # fmt: skip
    return send(client, "/orders/new/", **fields)


def test_order_settles_the_enquiry(owner_client: Client, enquiry: Enquiry) -> None:
    assert "Order placed." in words(order_of(owner_client, enquiry))
    enquiry.refresh_from_db()
    order = Order.objects.get()
    assert (enquiry.state, enquiry.order) == ("ordered", order)
    assert f"Order {order.number}" in words(owner_client.get(f"/enquiries/{enquiry.pk}/"))


def test_what_was_asked_stands_on_the_order_and_beside_its_quote(
    owner_client: Client, enquiry: Enquiry
) -> None:
    send(owner_client, f"/enquiries/{enquiry.pk}/photos/", photos=photo())
    reply = order_of(owner_client, enquiry, wanted="Board and two switches", quote="1")
    assert "Now the quote." in words(reply)
    for page in (reply, owner_client.get(f"/orders/{Order.objects.get().number}/")):
        assert "Two switches, amber" in words(page)
        assert 'alt="photo 1 of what they ask about"' in page.content.decode()


def test_order_that_is_refused_keeps_its_enquiry(owner_client: Client, enquiry: Enquiry) -> None:
    reply = order_of(owner_client, enquiry, wanted="")
    assert reply.status_code == 422
    assert hidden(reply.content.decode(), "enquiry") == str(enquiry.pk)
    enquiry.refresh_from_db()
    assert enquiry.state == "open"


def test_second_order_of_it_is_refused_and_not_placed(
    owner_client: Client, enquiry: Enquiry
) -> None:
    order_of(owner_client, enquiry)
    reply = order_of(owner_client, enquiry, **{"new-email": "", "hilt_name": "Other"})
    assert reply.status_code == 422
    assert "came of it already" in words(reply)
    assert Order.objects.count() == 1


def test_today_names_who_has_waited_two_days(
    bench_client: Client, enquiry: Enquiry, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    for days, is_named in ((1, False), (2, True)):
        at = now + timedelta(days=days)
        monkeypatch.setattr("builds.bench.views.today.now", lambda at=at: at)
        page = words(bench_client.get("/"))
        assert ("Pim Vane asked for a job" in page) is is_named
    assert "no answer for 2 days" in page


def test_unknown_enquiry_is_not_found(bench_client: Client, house: object) -> None:
    assert bench_client.get("/enquiries/999/").status_code == 404


def test_stranger_is_sent_to_sign_in(stranger: Client, house: object) -> None:
    assert stranger.get("/enquiries/").url.startswith("/sign-in/")


def photo(colour: str = "#85929C") -> SimpleUploadedFile:
    return SimpleUploadedFile("hilt.jpg", drawing(colour), "image/jpeg")


def test_photos_come_with_an_enquiry_each_once(bench_client: Client, enquiry: Enquiry) -> None:
    url = f"/enquiries/{enquiry.pk}/photos/"
    for sent in ([photo(), photo("#12233A")], [photo()]):
        assert bench_client.post(url, {"photos": sent}).status_code == 303
    assert enquiry.photos.count() == 2
    page = bench_client.get(f"/enquiries/{enquiry.pk}/").content.decode()
    assert "photo 2 of what they ask about" in page


def test_what_is_no_picture_is_told(bench_client: Client, enquiry: Enquiry) -> None:
    sent = SimpleUploadedFile("list.txt", b"no picture at all", "text/plain")
    reply = bench_client.post(f"/enquiries/{enquiry.pk}/photos/", {"photos": [sent]})
    assert reply.status_code == 422
    assert not enquiry.photos.exists()
