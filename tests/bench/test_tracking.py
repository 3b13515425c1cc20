"""Tracking numbers pasted on the dispatch day: looked at by one tap, kept by the next."""

import re
from datetime import datetime
from typing import Any

import pytest
from django.test import Client

from builds.dispatch.models import Parcel
from builds.gates.actions import leave
from builds.models import Build
from shop.models import Customer, Entry, Message, User
from shop.post.models import Occasion
from tests.bench import stands
from tests.bench.pages import words
from tests.makers import at_once, make_parcel
from tests.smtp import Received

URL = "/dispatch/tracking/"
NUMBER = "AB123456789GB"


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return stands.to_pack(owner, now)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    """A parcel that left a moment ago."""
    made = make_parcel([build], owner, now)
    leave(made.pk, by=owner, now=now)
    return made


def paste(client: Client, lines: str, **more: Any) -> Any:
    return client.post(URL, {"lines": lines, "step": "look", "tells": "on", **more}, follow=True)


def keep(client: Client, shown: Any, **more: Any) -> Any:
    """The second tap: what the page offers is sent back as a browser would."""
    offered = re.findall(r'name="offered" value="([^"]*)"', shown.content.decode())
    fields = {"lines": "", "offered": offered, "row": offered, "tells": "on", "step": "keep"}
    return client.post(URL, {**fields, **more}, follow=True)


def box(shown: Any) -> str:
    found = re.search(r'<textarea id="pasted-lines"[^>]*>([^<]*)', shown.content.decode())
    return found[1] if found else ""


def test_first_tap_shows_and_keeps_nothing(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    shown = paste(bench_client, f"{build.number} {NUMBER}")
    assert "Understood: 1 number" in words(shown)
    parcel.refresh_from_db()
    assert parcel.tracking == ""


def test_second_tap_keeps_the_number_and_the_carrier(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    reply = keep(bench_client, paste(bench_client, f"{build.number} {NUMBER}"), carrier="Fenpost")
    assert "1 tracking number is kept." in words(reply)
    parcel.refresh_from_db()
    assert (parcel.tracking, parcel.carrier) == (NUMBER, "Fenpost")


def test_tray_that_a_parcel_left_from_still_names_it(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    tray = build.tray
    shown = paste(bench_client, f"tray {tray} {NUMBER}")
    assert "Understood: 1 number" in words(shown)


def test_customer_is_told_with_the_number(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received
) -> None:
    keep(bench_client, paste(bench_client, f"{build.number} {NUMBER}"), carrier="Fenpost")
    message = Message.objects.get(occasion=Occasion.SENT)
    assert NUMBER in message.body
    assert "Fenpost" in message.body


def test_double_tap_tells_once(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received
) -> None:
    shown = paste(bench_client, f"{build.number} {NUMBER}")
    for _ in range(2):
        assert keep(bench_client, shown).status_code == 200
    assert Message.objects.filter(occasion=Occasion.SENT).count() == 1
    assert Entry.objects.filter(verb="tracking_noted").count() == 1


def test_nobody_is_told_without_the_tick(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received
) -> None:
    keep(bench_client, paste(bench_client, f"{build.number} {NUMBER}"), tells="")
    assert not Message.objects.exists()


def test_parcel_that_still_waits_is_numbered_and_not_told(
    bench_client: Client, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    parcel = make_parcel([build], owner, now)
    keep(bench_client, paste(bench_client, f"{build.number} {NUMBER}"))
    parcel.refresh_from_db()
    assert parcel.tracking == NUMBER
    assert not Message.objects.exists()


def test_customer_without_mail_is_named_and_the_number_kept(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received
) -> None:
    Customer.objects.update(email="")
    reply = keep(bench_client, paste(bench_client, f"{build.number} {NUMBER}"))
    assert "Wren was not told: No mail address is on file for Wren." in words(reply)
    parcel.refresh_from_db()
    assert parcel.tracking == NUMBER


def test_lines_that_mean_nothing_stay_in_the_box(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    shown = paste(bench_client, f"Nobody ZZ99887766\n{build.number} {NUMBER}")
    assert box(shown) == "Nobody ZZ99887766"
    reply = keep(bench_client, shown, lines=box(shown))
    assert reply.status_code == 422
    assert "1 tracking number is kept." in words(reply)
    assert box(reply) == "Nobody ZZ99887766"


def test_row_without_its_tick_goes_back_into_the_box(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    shown = paste(bench_client, f"{build.number} {NUMBER}")
    reply = keep(bench_client, shown, row=[])
    parcel.refresh_from_db()
    assert parcel.tracking == ""
    assert NUMBER in reply.content.decode()


def test_slower_tablet_is_told_of_the_other_number(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    shown = paste(bench_client, f"{build.number} {NUMBER}")
    Parcel.objects.update(tracking="ZZ987654321GB")
    reply = keep(bench_client, shown)
    assert "It has another number already: ZZ987654321GB." in words(reply)
    assert NUMBER in box(reply)


def test_too_long_a_carrier_is_refused_and_nothing_is_lost(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    reply = paste(bench_client, f"{build.number} {NUMBER}", carrier="x" * 61)
    assert reply.status_code == 422
    assert NUMBER in box(reply)


def test_address_alone_leads_to_the_day(bench_client: Client, house: object) -> None:
    assert bench_client.get(URL).url.startswith("/dispatch/")


@pytest.mark.django_db(transaction=True)
def test_two_tablets_keep_once_and_tell_once(
    parcel: Parcel, build: Build, owner: User, now: datetime, smtp_server: Received
) -> None:
    def tablet() -> Any:
        client = Client()
        client.force_login(owner)
        return keep(client, paste(client, f"{build.number} {NUMBER}"))

    answers = at_once(*[tablet] * 3)
    assert not [one for one in answers if isinstance(one, Exception)]
    assert Message.objects.filter(occasion=Occasion.SENT).count() == 1
    assert Entry.objects.filter(verb="tracking_noted").count() == 1
