"""A tag scanned on the dispatch day ticks its parcel off, or says why not."""

from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client

from builds.dispatch.actions import open_parcel
from builds.dispatch.models import Parcel
from builds.dispatch.pasted import build_meant
from builds.gates import actions as gates
from builds.models import Build, Move
from builds.progress.states import State
from shop.models import Customer, User
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import tap, words
from tests.makers import at_once, make_bare_parcel, make_build, make_customer, make_parcel

FRIDAY, MONDAY = "2026-11-27", "2026-11-30"


@pytest.fixture
def build(owner: User, now: datetime, house: object) -> Build:
    return stands.to_pack(owner, now)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    return make_parcel([build], owner, now)


def scan(client: Client, text: object, day: str = FRIDAY) -> Any:
    """What a scanner types, and its Enter."""
    return tap(client, "/dispatch/scan/", "day", scanned=text, day=day)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("http://192.0.2.7:8000/build/12/", 12),
        ("https://bench.larkhill.example/build/0012/", 12),
        ("https>&&bench.larkhill.example&build&12&", 12),
        ("HTTPS://BENCH.LARKHILL.EXAMPLE/BUILD/12/", 12),
        ("12", 12),
        (" #0012 ", 12),
        ("0", None),
        ("", None),
        ("EX 123 456", None),
        ("https://bench.larkhill.example/parcel/12/", None),
        ("build/1234567890123/", None),
        ("٣", 3),
    ],
)
def test_tag_or_typed_number_names_a_build(text: str, number: int | None) -> None:
    assert build_meant(text) == number


def test_scanned_tag_ticks_its_parcel_off(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    reply = scan(bench_client, f"http://192.0.2.7/build/{build.number}/")
    assert f"{build} {build.hilt} has left." in words(reply)
    build.refresh_from_db()
    assert build.state == State.SENT


def test_field_stands_ready_for_the_next_tag(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    page = scan(bench_client, build.number).content.decode()
    field = page[page.index('<input id="scanned"') :].partition(">")[0]
    assert "autofocus" in field
    assert "value=" not in field


def test_second_scan_says_that_it_left_already(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    scan(bench_client, build.number)
    assert f"{build} left already: " in words(scan(bench_client, build.number))
    assert Move.objects.filter(to_state=State.SENT).count() == 1


def test_any_build_of_a_parcel_stands_for_all_of_it(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    wren = make_customer(now)
    pair = [make_build(owner, now, State.DISPATCH, customer=wren) for _ in range(2)]
    make_parcel(pair, owner, now)
    scan(bench_client, pair[1].number)
    assert set(Build.objects.values_list("state", flat=True)) == {State.SENT}
    assert "left already" in words(scan(bench_client, pair[0].number))


def test_wrong_day_is_refused_with_the_right_one(
    bench_client: Client, parcel: Parcel, build: Build
) -> None:
    said = words(scan(bench_client, build.number, MONDAY))
    assert f"{build} is packed for Friday 27 November, not for this day." in said
    assert Build.objects.get().state == State.DISPATCH


def test_what_lacks_something_says_what(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    make_bare_parcel([build], owner, now)
    assert "how its ends are safe" in words(scan(bench_client, build.number))
    assert Build.objects.get().state == State.DISPATCH


@pytest.mark.parametrize("text", ["EX123456789GB", "999", "https://shop.example/thing/3"])
def test_other_codes_are_no_tag(bench_client: Client, parcel: Parcel, text: str) -> None:
    assert f"That is no tag of a build here: {text}" in words(scan(bench_client, text))


def test_nothing_scanned_is_asked_for(bench_client: Client, parcel: Parcel) -> None:
    assert "Scan a tag, or type" in words(scan(bench_client, " "))


def test_build_without_a_parcel_says_where_it_is(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    build = make_build(owner, now, State.TEST)
    assert f"{build} lies in no parcel; it is in test." in words(scan(bench_client, build.number))


def test_opened_parcel_is_none(
    bench_client: Client, parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    open_parcel(parcel.pk, owner, now)
    assert "lies in no parcel" in words(scan(bench_client, build.number))


def test_late_scan_on_the_day_itself_counts_after_the_cut_off(
    bench_client: Client, parcel: Parcel, build: Build, clock: Clock
) -> None:
    clock.at = datetime(2026, 11, 27, 20, 0, tzinfo=clock.at.tzinfo)
    assert "has left." in words(scan(bench_client, build.number, FRIDAY))


def test_stranger_scans_nothing(client: Client, parcel: Parcel, build: Build) -> None:
    reply = client.post("/dispatch/scan/", {"scanned": build.number, "day": FRIDAY})
    assert reply.status_code == 303
    assert Build.objects.get().state == State.DISPATCH


@pytest.mark.django_db(transaction=True)
def test_two_tablets_send_a_build_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    parcel = make_parcel([build], owner, now)
    deeds = [
        lambda n=n: gates.leave(parcel.pk, by=owner, now=now + timedelta(milliseconds=n))
        for n in range(4)
    ]
    found = at_once(*deeds)
    assert sorted(len(moves) for moves in found) == [0, 0, 0, 1]
    assert Move.objects.filter(build=build, to_state=State.SENT).count() == 1


# Tracking numbers beside the parcels


def test_enter_leads_to_the_next_parcel_without_a_number(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    parcels = []
    for called in ("Ash", "Wren"):
        build = make_build(owner, now, State.DISPATCH, customer=make_customer(now, called))
        parcels.append(make_parcel([build], owner, now))
        gates.leave(parcels[-1].pk, by=owner, now=now)
    first, second = parcels
    back = "/dispatch/?day=2026-11-25&numbers=on"
    fields = {"carrier": "van", "tracking": "EX1234567", "next": back}
    page = tap(bench_client, f"/parcel/{first.pk}/tracking/", "day", **fields).content.decode()
    field = page[page.index(f'id="tracking-{second.pk}"') :].partition(">")[0]
    assert "autofocus" in field
    assert page.count("autofocus") == 1


def test_label_scanned_twice_is_noticed(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    first, second = (
        make_parcel(
            [make_build(owner, now, State.DISPATCH, customer=make_customer(now, called))],
            owner,
            now,
        )
        for called in ("Ash", "Wren")
    )
    fields = {"carrier": "van", "tracking": "EX1234567"}
    tap(bench_client, f"/parcel/{first.pk}/tracking/", **fields)
    said = words(tap(bench_client, f"/parcel/{second.pk}/tracking/", **fields))
    assert "has this number already." in said
    second.refresh_from_db()
    assert second.tracking == ""


def test_two_parcels_of_one_customer_may_share_a_number(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    wren = make_customer(now)
    fields = {"carrier": "van", "tracking": "EX1234567"}
    for _ in range(2):
        build = make_build(owner, now, State.DISPATCH, customer=wren)
        tap(bench_client, f"/parcel/{make_parcel([build], owner, now).pk}/tracking/", **fields)
    assert Parcel.objects.filter(tracking="EX1234567").count() == 2
    assert Customer.objects.count() == 1
