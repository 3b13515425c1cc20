"""Several hilts of one customer in one parcel, and days that move by themselves."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.dispatch.models import Parcel
from builds.models import Build
from builds.progress.states import State
from shop.models import Customer, User
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import tap, words
from tests.makers import (
    check_cell,
    hand_over,
    make_build,
    make_customer,
    stow,
    take_views,
    tick_all,
)

FRIDAY, MONDAY = date(2026, 11, 27), date(2026, 11, 30)


@pytest.fixture
def customer(now: datetime, house: object) -> Customer:
    return make_customer(now)


def ready(customer: Customer, by: User, now: datetime) -> Build:
    stands.views()
    build = make_build(by, now, State.DISPATCH, customer=customer)
    take_views(build, State.DISPATCH, by, now)
    hand_over(build, by, now)
    return build


@pytest.fixture
def pair(customer: Customer, owner: User, now: datetime) -> list[Build]:
    return [ready(customer, owner, now) for _ in range(2)]


def pack(client: Client, builds: list[Build], token: object = None, day: date = FRIDAY) -> str:
    numbers = [build.number for build in builds]
    fields = {"token": token or uuid4(), "expected": day.isoformat(), "build": numbers}
    return words(tap(client, "/dispatch/pack/", **fields))


def test_builds_of_one_customer_are_offered_together(
    bench_client: Client, pair: list[Build]
) -> None:
    page = words(bench_client.get("/dispatch/"))
    assert "For Wren, in one parcel" in page
    assert "Pack together what is ticked" in page


def test_two_hilts_lie_in_one_parcel(bench_client: Client, pair: list[Build]) -> None:
    assert "In one parcel for Friday 27 November" in pack(bench_client, pair)
    assert Parcel.objects.get().packed.count() == 2


def test_double_tap_closes_one_parcel(bench_client: Client, pair: list[Build]) -> None:
    token = uuid4()
    for _ in range(2):
        pack(bench_client, pair, token)
    assert Parcel.objects.count() == 1


def test_what_is_not_ticked_stays(bench_client: Client, pair: list[Build]) -> None:
    pack(bench_client, pair[:1])
    page = words(bench_client.get("/dispatch/"))
    assert "1 packed, 1 ready to pack" in page


def test_nothing_ticked_is_asked_for(bench_client: Client, pair: list[Build]) -> None:
    assert "Tick what goes into the parcel." in pack(bench_client, [])
    assert not Parcel.objects.exists()


def test_two_people_never_share_a_parcel(
    bench_client: Client, pair: list[Build], owner: User, now: datetime
) -> None:
    other = ready(make_customer(now, "Ash"), owner, now)
    assert "These go to different people." in pack(bench_client, [pair[0], other])
    assert not Parcel.objects.exists()


def test_rest_of_an_order_is_named_beside_what_is_ready(
    bench_client: Client, pair: list[Build], owner: User, now: datetime
) -> None:
    first, second = pair
    second.item.order = first.item.order
    second.item.save()
    Build.objects.filter(pk=second.pk).update(state=State.TEST)
    assert f"{second.hilt} of the same order is still in test" in words(
        bench_client.get("/dispatch/")
    )


def test_page_kept_open_past_the_cut_off_packs_for_the_next_day(
    bench_client: Client, pair: list[Build], clock: Clock
) -> None:
    clock.at = datetime(2026, 11, 27, 21, 0, tzinfo=clock.at.tzinfo)
    said = pack(bench_client, pair)
    assert "In one parcel for Monday 30 November" in said
    assert "The cut-off of the day asked for is past." in said
    assert Parcel.objects.get().day == MONDAY


def test_parcel_left_behind_goes_to_the_next_day_by_itself(
    bench_client: Client, pair: list[Build], owner: User, clock: Clock
) -> None:
    pack(bench_client, pair)
    stow(Parcel.objects.get(), owner, clock.at)
    tick_all(Parcel.objects.get(), owner, clock.at)
    clock.at += timedelta(days=3)
    assert "2 packed" in words(bench_client.get("/dispatch/?day=2026-11-30"))
    assert "0 packed" in words(bench_client.get("/dispatch/?day=2026-12-04"))
    assert "Leaves Monday" in words(bench_client.get("/bench/"))


def test_several_parcels_are_ticked_off_at_once(
    bench_client: Client, pair: list[Build], owner: User, now: datetime
) -> None:
    for build in pair:
        check_cell(build, owner, now)
        pack(bench_client, [build])
    for parcel in Parcel.objects.all():
        stow(parcel, owner, now)
        tick_all(parcel, owner, now)
    parcels = [parcel.pk for parcel in Parcel.objects.all()]
    for _ in range(2):
        said = words(tap(bench_client, "/dispatch/left/", parcel=parcels))
        assert "2 parcels have left." in said
    assert set(Build.objects.values_list("state", flat=True)) == {State.SENT}


def test_ticking_nothing_off_is_asked_for(bench_client: Client, house: object) -> None:
    assert "Tick the parcels that left." in words(tap(bench_client, "/dispatch/left/"))
