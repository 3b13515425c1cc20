"""The last day that serves the day by which something is needed, and by which service."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.dispatch.models import Packed, Parcel, Service
from builds.models import Build
from builds.progress.queries import builds
from builds.progress.states import Leaves, State
from builds.queue.actions import promise
from builds.queue.queries.serving import Serving, servings
from shop.diary.models import Closure
from shop.diary.queries import calendar
from shop.house.models import House
from shop.models import Customer, Order, User
from tests.bench.pages import part, tap, words
from tests.makers import FRIDAY, make_build, make_customer, make_service

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
NEEDED = date(2026, 12, 11)  # a Friday; parcels leave on Mondays and Fridays
MONDAY, FRIDAY_BEFORE = date(2026, 12, 7), date(2026, 12, 4)


def needing(by: User, now: datetime, needed_by: date | None = NEEDED, **more: Any) -> Build:
    """A build whose order is needed by a day."""
    build = make_build(by, now, **more)
    Order.objects.filter(pk=build.item.order_id).update(needed_by=needed_by)
    return build


def serving(build: Build, house: House) -> Serving:
    """What the day asks by which a build is needed."""
    return servings([builds().get(pk=build.pk)], calendar(house))[build.pk]


def sent_by(service: Service, customer: Customer, by: User, now: datetime) -> None:
    """A parcel that went to somebody."""
    build = make_build(by, now, State.DISPATCH, customer=customer)
    parcel = Parcel.objects.create(
        token=build.item.order.token, day=FRIDAY, closed_at=now, closed_by=by, service=service
    )
    Packed.objects.create(parcel=parcel, build=build)


def test_days_on_the_way_are_taken_off(owner: User, house: House, now: datetime) -> None:
    make_service(transit_days=2)
    found = serving(needing(owner, now), house)
    assert (found.last, found.is_sure) == (MONDAY, True)


def test_an_order_that_names_no_day_asks_nothing(owner: User, house: House, now: datetime) -> None:
    build = needing(owner, now, None)
    assert servings([builds().get(pk=build.pk)], calendar(house)) == {}


@pytest.mark.parametrize("days", [None, 0])
def test_without_days_on_the_way_none_are_taken_off_and_that_is_said(
    owner: User, house: House, now: datetime, days: int | None
) -> None:
    service = make_service(transit_days=days)
    found = serving(needing(owner, now), house)
    assert (found.last, found.is_sure) == (NEEDED, days == 0)
    assert (f"how long “{service}” takes is not written down" in found.because) == (days is None)


def test_without_a_service_that_gets_there_none_are_taken_off(
    owner: User, house: House, now: datetime
) -> None:
    make_service("us-ground", transit_days=2)
    found = serving(needing(owner, now), house)
    assert (found.last, found.service, found.is_sure) == (NEEDED, None, False)
    assert "no service that gets there is written down" in found.because


def test_the_first_service_of_the_list_is_reckoned_with(
    owner: User, house: House, now: datetime
) -> None:
    make_service(transit_days=4, position=2)
    make_service(transit_days=1, position=1)
    make_service(transit_days=9, position=0, retired=True)
    assert serving(needing(owner, now), house).transit_days == 1


def test_what_the_last_parcel_to_them_went_by_comes_first(
    owner: User, house: House, now: datetime
) -> None:
    customer = make_customer(now)
    make_service(transit_days=1)
    sent_by(make_service(transit_days=6), customer, owner, now)
    found = serving(needing(owner, now, customer=customer), house)
    assert (found.transit_days, found.last) == (6, date(2026, 11, 30))


def test_its_own_parcel_says_by_what_it_goes(owner: User, house: House, now: datetime) -> None:
    make_service(transit_days=1)
    customer = make_customer(now)
    sent_by(make_service(transit_days=5), customer, owner, now)
    packed = Build.objects.get(item__order__customer=customer)
    Order.objects.filter(pk=packed.item.order_id).update(needed_by=NEEDED)
    found = serving(packed, house)
    assert (found.transit_days, found.last) == (5, FRIDAY_BEFORE)


def test_what_is_collected_is_ready_by_the_day_itself(
    owner: User, house: House, now: datetime
) -> None:
    make_service(transit_days=2)
    found = serving(needing(owner, now, NEEDED + DAY, leaves_by=Leaves.COLLECTION), house)
    assert (found.last, found.must) == (NEEDED, "It must be ready by Friday 11 December.")


def test_a_closure_brings_the_last_day_forward(owner: User, house: House, now: datetime) -> None:
    make_service(transit_days=2)
    Closure.objects.create(first=MONDAY, last=NEEDED)
    assert serving(needing(owner, now), house).last == FRIDAY_BEFORE


def test_many_are_asked_in_as_many_queries_as_one(owner: User, house: House, now: datetime) -> None:
    make_service(transit_days=2)
    for name in ("Wren", "Ivo", "Maud"):
        needing(owner, now, customer=make_customer(now, name))
    diary, rows = calendar(house), list(builds())
    with CaptureQueriesContext(
        connection,
    ) as of_one:
        servings(rows[:1], diary)
    with CaptureQueriesContext(connection) as of_all:
        assert len(servings(rows, diary)) == len(rows)
    assert len(of_all) == len(of_one)


def test_the_sheet_says_by_when_it_must_leave(
    bench_client: Client, owner: User, now: datetime
) -> None:
    make_service(name="Road", transit_days=2)
    build = needing(owner, now)
    shown = words(part(bench_client.get(f"/build/{build.number}/"), "promise"))
    assert "Needed by Friday 11 December. It must leave by Monday 7 December." in shown
    assert "“Road” takes 2 days at most, Monday to Friday." in shown


def test_a_promise_too_late_for_it_is_kept_and_said(
    bench_client: Client, owner: User, house: House, now: datetime
) -> None:
    make_service(transit_days=2)
    build = needing(owner, now)
    answer = tap(bench_client, f"/build/{build.number}/promise/", day=NEEDED.isoformat())
    assert build.promises.get().day == NEEDED
    said = "The day is kept. It is needed by Friday 11 December. It must leave by Monday 7 December"
    assert said in words(answer)
    assert "The promise is later than that" in words(part(answer, "promise"))


def test_a_promise_in_time_says_no_more(bench_client: Client, owner: User, now: datetime) -> None:
    make_service(transit_days=2)
    build = needing(owner, now)
    answer = tap(bench_client, f"/build/{build.number}/promise/", day=MONDAY.isoformat())
    assert "The promise is later than that" not in words(answer)


def test_a_day_that_no_parcel_serves_any_more_is_said(
    bench_client: Client, owner: User, now: datetime
) -> None:
    make_service(transit_days=2)
    build = needing(owner, now, date(2026, 11, 26))
    shown = words(part(bench_client.get(f"/build/{build.number}/"), "promise"))
    assert "That day is past: it comes too late whenever it leaves." in shown


def test_what_has_left_asks_nothing_any_more(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = needing(owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.SENT)
    shown = words(part(bench_client.get(f"/build/{build.number}/"), "promise"))
    assert "Needed by" not in shown


def test_the_orders_page_says_it_too(
    bench_client: Client, owner: User, house: House, now: datetime
) -> None:
    make_service(transit_days=2)
    build = needing(owner, now)
    promise(build, NEEDED, reason="", by=owner, now=now)
    shown = words(bench_client.get(f"/orders/{build.item.order.number}/"))
    assert "Friday 11 December It must leave by Monday 7 December." in shown
    assert "The promise is later than that: kept to its day, it comes too late." in shown


def test_a_new_order_says_it_beside_the_field(owner_client: Client, now: datetime) -> None:
    make_service(name="Road", transit_days=2)
    typed = {"needed_by": "2026-12-11", "customer": "new", "new-country": "GB"}
    headers = {"HX-Request": "true", "HX-Target": "served"}
    answer = words(owner_client.get("/orders/new/", typed, headers=headers))
    assert answer.startswith("It must leave by Monday 7 December. “Road” takes 2 days at most")


@pytest.mark.parametrize("typed", ["", "soon", "0001-01-01", "2026-02-30"])
def test_a_day_that_is_none_is_said_by_its_field_alone(owner_client: Client, typed: str) -> None:
    make_service(transit_days=2)
    answer = owner_client.get("/orders/new/", {"needed_by": typed})
    assert answer.status_code == 200
    assert "It must leave by" not in words(answer)


def test_what_is_needed_by_a_day_past_is_said_as_the_order_is_typed(
    owner_client: Client,
) -> None:
    make_service(transit_days=2)
    answer = owner_client.get("/orders/new/", {"needed_by": "2026-11-26"})
    assert "it comes too late whenever it leaves" in words(answer)
