"""The rules of the dates: what the owner sets, what the bench and customers see of it."""

from datetime import date, datetime, time, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from builds.models import Build
from builds.progress.states import State
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon
from builds.queue.models import StageLimit
from builds.queue.queries.behind import shown_odds
from builds.queue.queries.limits import over_limit, stage_limits
from builds.queue.queries.words import in_ten, percent_words
from builds.visitor.words import odds_line
from shop.diary.actions import add_extra_day
from shop.diary.models import ExtraDay
from shop.diary.queries import calendar
from shop.history.models import Entry
from shop.house.models import House
from shop.models import User
from tests.makers import FRIDAY, make_build, put_on_hold
from tests.queue.making import finished

pytestmark = pytest.mark.django_db
TYPED = {"most_opened": "4", "least_odds_percent": "85", "shows_odds": "on", "most_install": "1"}


def test_owner_sets_the_rules(owner_client: Client) -> None:
    assert owner_client.post(reverse("queue_rules"), TYPED).status_code == 303
    house = House.objects.get()
    assert (house.most_opened, house.least_odds_percent, house.shows_odds) == (4, 85, True)
    assert stage_limits() == {"install": 1}
    assert Entry.objects.filter(verb="date_rules_changed").count() == 1
    page = owner_client.get(reverse("queue_rules")).content.decode()
    assert 'value="85"' in page


def test_limit_that_is_left_empty_is_taken_away(owner_client: Client) -> None:
    owner_client.post(reverse("queue_rules"), TYPED)
    owner_client.post(reverse("queue_rules"), {**TYPED, "most_install": ""})
    assert not StageLimit.objects.exists()


def test_nonsense_is_shown_again_as_typed(owner_client: Client, house: House) -> None:
    answer = owner_client.post(reverse("queue_rules"), {**TYPED, "least_odds_percent": "100"})
    assert answer.status_code == 422
    assert 'value="100"' in answer.content.decode()
    house.refresh_from_db()
    assert house.least_odds_percent == 80


def test_stage_that_is_full_says_so_and_stops_nobody(
    bench_client: Client, bench_hand: User, now: datetime
) -> None:
    StageLimit.objects.create(stage=State.TEST, most=1)
    builds = [make_build(bench_hand, now, State.TEST) for _n in range(2)]
    for build, said in zip(builds, ("is started.", "at most."), strict=True):
        url = reverse("bench_start", args=[build.number])
        answer = bench_client.post(url, {"expected": State.TEST}, follow=True)
        assert said in answer.content.decode()
    assert "2 of 1 started" in answer.content.decode()
    assert Build.objects.filter(started_at__isnull=False).count() == 2


def test_without_a_limit_nothing_is_said(owner: User, now: datetime) -> None:
    assert over_limit(make_build(owner, now, State.TEST)) == ""


@pytest.fixture
def told(owner: User, house: House, now: datetime) -> Build:
    """A build with a day, in a shop whose customers see the odds."""
    House.objects.update(shows_odds=True)
    build = make_build(owner, now, State.INSTALL)
    promise(build, FRIDAY + timedelta(days=14), reason="", by=owner, now=now)
    return build


def shown(build: Build, now: datetime) -> dict[int, float]:
    return shown_odds([build], calendar(House.objects.get()), now)


def test_customer_sees_odds_that_ten_builds_stand_behind(
    told: Build, owner: User, now: datetime
) -> None:
    finished(10, owner, now)
    reckon(now)
    assert shown(told, now)[told.pk] > 0.9
    House.objects.update(shows_odds=False)
    assert shown(told, now) == {}


def test_nine_builds_say_nothing_to_a_customer(told: Build, owner: User, now: datetime) -> None:
    finished(9, owner, now)
    reckon(now)
    assert shown(told, now) == {}


def test_customer_we_wait_for_sees_no_odds(told: Build, owner: User, now: datetime) -> None:
    finished(10, owner, now)
    put_on_hold(told, owner, now)
    reckon(now)
    assert shown(told, now) == {}


@pytest.mark.parametrize(
    ("odds", "words"),
    [(1.0, "almost certain"), (0.95, "almost certain"), (0.94, "about 9 in 10"),
     (0.9, "about 9 in 10"), (0.89, "about 8 in 10"), (0.05, "less than 1 in 10")],
)  # fmt: skip
def test_odds_for_a_customer_are_rounded_down(odds: float, words: str) -> None:
    assert in_ten(odds) == words
    assert odds_line(odds, is_past=False) == f"How sure that is: {words}."
    assert odds_line(odds, is_past=True) == ""


@pytest.mark.parametrize(
    ("odds", "words"),
    [(1.0, "99 %"), (0.992, "99 %"), (0.984, "98 %"), (0.005, "1 %")],
)
def test_nothing_is_ever_certain(odds: float, words: str) -> None:
    assert percent_words(odds).replace("\xa0", " ") == words


def test_who_works_on_builds_is_said_on_the_persons_page(
    proven_client: Client, owner: User
) -> None:
    url = reverse("desk_person", args=[owner.pk])
    fields = {"name": "Oda", "email": owner.email, "role": "owner", "is_active": "on"}
    assert proven_client.post(url, fields).status_code == 303
    owner.refresh_from_db()
    assert not owner.at_bench
    proven_client.post(url, {**fields, "at_bench": "on"})
    owner.refresh_from_db()
    assert owner.at_bench


def test_extra_day_stands_on_the_persons_hours_and_can_be_taken_back(
    owner_client: Client, owner: User, now: datetime
) -> None:
    day = date(2100, 1, 2)
    kept = add_extra_day(owner, day, time(9), time(12), by=owner, now=now)
    again = add_extra_day(owner, day, time(9), time(13), by=owner, now=now)
    assert kept == again
    assert ExtraDay.objects.get().closes == time(13)
    here = reverse("desk_person_hours", args=[owner.pk])
    assert "09:00–13:00" in owner_client.get(here).content.decode()
    url = reverse("queue_extra_remove", args=[kept.pk])
    assert owner_client.post(url, {"next": here}).headers["Location"] == here
    assert not ExtraDay.objects.exists()
    assert owner_client.post(url).status_code == 404
