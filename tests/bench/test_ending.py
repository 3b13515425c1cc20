"""Ending a build unfinished, in each stage and each way: what is asked, and the way out."""

import re
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.intake.models import Belonging
from builds.models import Build, Move
from builds.progress.states import STAGES, Kind, State
from shop.models import Entry, User
from tests.bench import stands
from tests.bench.pages import part, tap, words
from tests.makers import check_cell, make_arrival, make_build, make_parcel

pytestmark = pytest.mark.django_db
UNFINISHED = [State.RETURNED, State.WITHDRAWN, State.ABANDONED]
BACK = [State.RETURNED, State.WITHDRAWN]


def came(by: User, now: datetime, stage: str) -> tuple[Build, list[Belonging]]:
    """A build whose box held a blade and a key, and whose cell has a torn wrap."""
    build, arrival = make_build(by, now, stage), make_arrival(by, now)
    intake.match(arrival, build, by, now)
    build.refresh_from_db()
    intake.add_belongings(arrival, [("blade", 1), ("key", 1)], by, now)
    check_cell(build, by, now, "rewrap")
    return build, list(build.belongings.all())


def end(client: Client, build: Build, ending: str, **more: Any) -> Any:
    fields = {
        "end-token": uuid4(), "end-expected": build.state, "end-ending": ending,
        "end-reason": "changed her mind", **more,
    }  # fmt: skip
    return tap(client, f"/build/{build.number}/end/", **fields)


def ticks(things: list[Belonging]) -> dict[str, str]:
    return {f"end-back_{thing.pk}": "on" for thing in things}


def state_of(build: Build) -> str:
    return Build.objects.get(pk=build.pk).state


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("ending", BACK)
def test_given_back_in_person_from_any_stage(
    bench_client: Client, owner: User, now: datetime, stage: str, ending: str
) -> None:
    build, things = came(owner, now, stage)
    sheet = bench_client.get(f"/build/{build.number}/")
    assert "it goes by no post" in words(part(sheet, "collect"))
    end(bench_client, build, ending, **ticks(things), **{"end-goes": "collection"})
    assert state_of(build) == ending
    assert not Belonging.objects.filter(returned_at=None).exists()
    assert build.moves.get(to_state=ending).reason == "changed her mind; given back in person"


@pytest.mark.parametrize("stage", STAGES)
def test_abandoned_asks_nothing_of_the_box(
    bench_client: Client, owner: User, now: datetime, stage: str
) -> None:
    build, things = came(owner, now, stage)
    end(bench_client, build, State.ABANDONED)
    assert state_of(build) == State.ABANDONED
    assert Belonging.objects.filter(returned_at=None, kept_because="").count() == len(things)


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("ending", BACK)
def test_damaged_cell_goes_by_no_post_and_a_way_out_is_there(
    bench_client: Client, owner: User, now: datetime, stage: str, ending: str
) -> None:
    build, things = came(owner, now, stage)
    way = ticks(things) | {"end-goes": "post"}
    answer = end(bench_client, build, ending, **way)
    shown = part(answer, "collect")
    assert answer.status_code == 422
    assert "Hand the hilt over in person" in words(shown)
    assert f'href="/build/{build.number}/#cell">Check the cell</a>' in shown
    assert 'value="changed her mind"' in shown
    assert not Belonging.objects.exclude(returned_at=None).exists()
    tap(bench_client, f"/build/{build.number}/cell/", result="none", volts="", note="")
    end(bench_client, build, ending, **way)
    assert state_of(build) == ending
    assert build.moves.get(to_state=ending).reason == "changed her mind; goes back by post"


@pytest.mark.parametrize("stage", STAGES)
def test_what_stays_of_the_box_says_why(
    bench_client: Client, owner: User, now: datetime, stage: str
) -> None:
    build, (blade, key) = came(owner, now, stage)
    way = {"end-goes": "collection", **ticks([blade])}
    answer = end(bench_client, build, State.RETURNED, **way)
    assert "Back to them, or why does it stay?" in words(part(answer, "collect"))
    end(bench_client, build, State.RETURNED, **way, **{f"end-stays_{key.pk}": "it is broken"})
    key.refresh_from_db()
    assert (state_of(build), key.kept_because) == (State.RETURNED, "it is broken")


@pytest.mark.parametrize("stage", STAGES)
def test_what_nobody_claims_of_a_shared_box_leads_to_where_it_is_claimed(
    bench_client: Client, owner: User, now: datetime, stage: str
) -> None:
    build, arrival = make_build(owner, now, stage), make_arrival(owner, now)
    other = make_build(owner, now, customer=build.item.order.customer)
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    intake.match(arrival, build, owner, now)
    intake.match(arrival, other, owner, now)
    Belonging.objects.update(build=None)
    build.refresh_from_db()
    answer = end(bench_client, build, State.RETURNED, **{"end-goes": "collection"})
    assert "Does it go back, or stay? stand" in words(part(answer, "collect"))
    (where,) = re.findall(r'href="([^"]*)">Say whose it is', part(answer, "belongings"))
    assert bench_client.get(where).status_code == 200


@pytest.mark.parametrize("ending", UNFINISHED)
def test_booked_hilt_that_never_came_is_asked_nothing(
    bench_client: Client, owner: User, now: datetime, ending: str
) -> None:
    build = make_build(owner, now)
    assert "how it goes back" not in words(bench_client.get(f"/build/{build.number}/")).lower()
    end(bench_client, build, ending)
    assert state_of(build) == ending
    assert build.moves.get(to_state=ending).reason == "changed her mind"


@pytest.mark.parametrize("stage", STAGES)
def test_blade_only_ends_unfinished(
    bench_client: Client, owner: User, now: datetime, stage: str
) -> None:
    build = make_build(owner, now, stage, kind=Kind.BLADE)
    end(bench_client, build, State.WITHDRAWN)
    assert state_of(build) == State.WITHDRAWN


def test_how_it_goes_back_is_asked_for(bench_client: Client, owner: User, now: datetime) -> None:
    build, things = came(owner, now, State.TEARDOWN)
    answer = end(bench_client, build, State.RETURNED, **ticks(things))
    assert "Say how it goes back: in person, or by post." in words(part(answer, "collect"))


def test_double_tap_ends_once(bench_client: Client, owner: User, now: datetime) -> None:
    build, things = came(owner, now, State.TEARDOWN)
    way = ticks(things) | {"end-goes": "collection", "end-token": str(uuid4())}
    for _ in range(2):
        end(bench_client, build, State.RETURNED, **way)
    assert Move.objects.filter(build=build, to_state=State.RETURNED).count() == 1


def test_packed_one_leads_to_its_parcel_instead(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    parcel = make_parcel([build], owner, now)
    shown = part(bench_client.get(f"/build/{build.number}/"), "collect")
    assert "Take it out first" in words(shown)
    assert f"/parcel/{parcel.pk}/" in shown
    assert "/end/" not in shown


def test_tick_is_taken_back_in_any_stage(bench_client: Client, owner: User, now: datetime) -> None:
    build, (blade, _key) = came(owner, now, State.TEARDOWN)
    intake.account_for(blade, kept_because="", by=owner, now=now)
    assert "not yet" in words(part(bench_client.get(f"/build/{build.number}/"), "belongings"))
    tap(bench_client, f"/build/{build.number}/belonging/{blade.pk}/", not_yet="yes")
    blade.refresh_from_db()
    assert blade.returned_at is None


# Another way of leaving


def test_posted_build_is_collected_after_all(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = stands.to_pack(owner, now)
    page = f"/build/{build.number}/"
    assert "It leaves by post." in words(part(bench_client.get(page), "collect"))
    for _ in range(2):
        answer = tap(bench_client, f"{page}leaves/", way="collection")
    shown = part(answer, "collect")
    assert f'href="{page}collect/"' in shown
    assert "It is collected in person." in words(shown)
    assert Entry.objects.filter(verb="leaves_by_changed", about=build.about).count() == 1
    assert "How it leaves, agreed anew: collected in person" in words(answer)


def test_packed_or_ended_build_leaves_as_it_was_agreed(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    make_parcel([build], owner, now)
    page = f"/build/{build.number}/"
    answer = tap(bench_client, f"{page}leaves/", way="collection")
    assert "Take it out of the parcel first" in words(answer)
    ended = make_build(owner, now)
    end(bench_client, ended, State.WITHDRAWN)
    answer = tap(bench_client, f"/build/{ended.number}/leaves/", way="collection")
    assert "This build has ended." in words(answer)
    assert "out of date" in words(tap(bench_client, f"{page}leaves/", way="by owl"))
    assert not Build.objects.exclude(leaves_by="post").exists()
