"""Odds where the day is: on Today, on rows, where a day is chosen, and where a delay is told."""

from datetime import date, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from builds.bench.queries.board import open_rows
from builds.bench.queries.today import Want, wants
from builds.models import Build, Outlook
from builds.progress import actions as progress
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon
from builds.queue.models import Reckoning
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.models import Message, User
from tests.makers import FRIDAY, make_build, make_part, put_on_hold
from tests.queue.past import make_past
from tests.stores.bought import waits_for
from tests.stores.orders import make_ordered

pytestmark = pytest.mark.django_db
WEEK = timedelta(days=7)


@pytest.fixture(autouse=True)
def at_the_tests_moment(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    for module in ("sheet", "tell", "board", "today", "dispatch"):
        monkeypatch.setattr(f"builds.bench.views.{module}.now", lambda: now)


def in_trouble(owner: User, now: datetime, day: date = FRIDAY) -> Build:
    build = make_build(owner, now, State.INTAKE)
    promise(build, day, reason="", by=owner, now=now)
    return build


def of(build: Build, now: datetime) -> list[Want]:
    diary = calendar(house())
    return [want for want in wants(open_rows(diary, now), diary, now) if want.number == str(build)]


def test_today_says_odds_cause_and_the_cheapest_way_out(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build, part = make_build(owner, now, State.INSTALL), make_part(owner, now, name="speaker")
    promise(build, FRIDAY + WEEK, reason="", by=owner, now=now)
    bought = make_ordered(owner, now, (part, 1), expected_on=date(2026, 12, 10))
    progress.hold(build.pk, fields=waits_for(bought, part, now), by=owner, now=now)
    reckon(now)
    (want,) = (one for one in of(build, now) if "%" in one.why)
    assert "% for Fri 4 Dec: waits for parts. If the parts came tomorrow:" in want.why
    assert (want.deed, want.url) == (
        "Ask after the parts", reverse("stores_purchase", args=[bought.number]),
    )  # fmt: skip


def test_new_day_is_filled_in_by_the_link_and_kept_by_the_owner_alone(
    owner: User, owner_client: Client, now: datetime
) -> None:
    make_past(10, owner, now)
    build = in_trouble(owner, now)
    reckon(now)
    Outlook.objects.filter(build=build).update(
        odds=0.2, remedy="new_day", remedy_with={"day": "2026-12-04"}, remedy_odds=0.91
    )
    (want,) = (one for one in of(build, now) if "%" in one.why)
    assert want.why.endswith("First day that holds: Fri 4 Dec, 91 %")
    page = owner_client.get(want.url.partition("#")[0]).content.decode()
    assert 'value="2026-12-04"' in page
    assert build.promises.count() == 1
    assert not Message.objects.exists()


def test_the_worst_is_first(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    builds = [in_trouble(owner, now) for _ in range(3)]
    reckon(now)
    for build, odds in zip(builds, (0.5, 0.1, 0.3), strict=True):
        Outlook.objects.filter(build=build).update(odds=odds)
    diary = calendar(house())
    found = [one.number for one in wants(open_rows(diary, now), diary, now) if "% for" in one.why]
    assert found == [str(builds[1]), str(builds[2]), str(builds[0])]


def test_what_is_near_but_likely_wants_nobody(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = in_trouble(owner, now)
    reckon(now)
    Outlook.objects.filter(build=build).update(odds=0.9)
    assert not [one for one in of(build, now) if "due" in one.why or "%" in one.why]


@pytest.mark.parametrize("why", ["too few finished", "no run", "an old run"])
def test_without_odds_the_near_day_counts_as_before(why: str, owner: User, now: datetime) -> None:
    make_past(9 if why == "too few finished" else 10, owner, now)
    build = in_trouble(owner, now)
    if why != "no run":
        reckon(now)
    if why == "an old run":
        Reckoning.objects.update(made_at=now - timedelta(hours=1))
    assert [one for one in of(build, now) if "due Fri 27 Nov, still in intake" in one.why]


def test_row_on_the_bench_carries_odds(owner: User, owner_client: Client, now: datetime) -> None:
    make_past(10, owner, now)
    build = in_trouble(owner, now)
    reckon(now)
    Outlook.objects.filter(build=build).update(odds=0.34)
    page = owner_client.get(reverse("bench_bench")).content.decode()
    assert "34 %" in page
    assert "in danger" in page
    day = owner_client.get(reverse("bench_dispatch") + "?day=2026-11-27").content.decode()
    assert "34 %" in day


# Beside the choice of a day


def test_coming_days_stand_with_their_odds(
    owner: User, owner_client: Client, now: datetime
) -> None:
    make_past(10, owner, now)
    build = in_trouble(owner, now)
    reckon(now)
    page = owner_client.get(reverse("bench_sheet", args=[build.number])).content.decode()
    assert "How likely it leaves by:" in page
    assert "?day=2026-12-04#promise" in page


def test_below_ten_a_range_alone(owner: User, owner_client: Client, now: datetime) -> None:
    make_past(9, owner, now)
    build = in_trouble(owner, now)
    reckon(now)
    page = owner_client.get(reverse("bench_sheet", args=[build.number])).content.decode()
    assert "How likely it leaves by:" not in page
    assert "too few to say odds" in page


def test_unlikely_day_can_be_promised_all_the_same(
    owner: User, owner_client: Client, now: datetime
) -> None:
    make_past(10, owner, now)
    build = make_build(owner, now, State.INTAKE)
    reckon(now)
    owner_client.post(reverse("bench_promise", args=[build.number]), {"day": "2026-11-27"})
    kept = build.promises.get()
    assert kept.day == FRIDAY
    assert kept.odds is not None
    page = owner_client.get(reverse("bench_sheet", args=[build.number])).content.decode()
    assert f"{kept.percent} % sure then" in page


def test_address_that_names_no_day_is_read_without_one(
    owner: User, owner_client: Client, now: datetime
) -> None:
    build = make_build(owner, now)
    sheet = reverse("bench_sheet", args=[build.number])
    assert owner_client.get(sheet + "?day=nonsense").status_code == 200


# Where a delay is told


def test_who_tells_of_a_delay_sees_which_day_would_hold(
    owner: User, owner_client: Client, now: datetime
) -> None:
    make_past(10, owner, now)
    build = in_trouble(owner, now)
    reckon(now)
    Outlook.objects.filter(build=build).update(odds=0.2)
    page = owner_client.get(reverse("bench_tell", args=[build.number]) + "?occasion=late")
    said = page.content.decode()
    assert "The day that stands is 20 % likely." in said
    assert "The first that is likely enough is" in said


def test_build_that_waits_for_its_customer_is_not_in_danger(owner: User, now: datetime) -> None:
    make_past(10, owner, now)
    build = in_trouble(owner, now)
    put_on_hold(build, owner, now)
    reckon(now)
    assert not [one for one in of(build, now) if "%" in one.why]
