"""What a page costs: as many queries for forty builds as for ten, and none while it is drawn."""

from collections.abc import Callable
from datetime import date, datetime
from typing import Any

import pytest
from django.db import connection
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.intake import actions as intake
from builds.models import Build
from builds.progress.states import State
from builds.queue.models import Promise
from shop.models import User
from tests.bench import stands
from tests.bench.pages import tap
from tests.makers import (
    answer,
    make_arrival,
    make_blob,
    make_build,
    make_parcel,
    put_on_hold,
    take_views,
)

FEW, MANY = 1, 4  # times ten builds


def ten_builds(by: User, now: datetime) -> None:
    """Builds in every stage, with what their pages show."""
    first = stands.in_intake(by, now)
    intake.add_belongings(first.matches.get().arrival, [("key", 1)], by, now)
    intake.add_photo(make_blob(now), build=first, by=by, now=now)
    held = stands.at_work(by, now, State.TEST)
    put_on_hold(held, by, now)
    packed, left = stands.to_pack(by, now), stands.to_pack(by, now)
    make_parcel([packed], by, now)
    gone = make_parcel([left], by, now)
    gone.left_at, gone.left_by = now, by
    gone.save()
    for build in (
        held,
        make_build(by, now),
        stands.arrived(by, now, State.BOOKED)[0],
        stands.in_teardown(by, now),
        stands.at_work(by, now, State.INSTALL),
        stands.to_pack(by, now),
        stands.to_pack(by, now, "collection"),
    ):
        Promise.objects.create(build=build, day=date(2026, 11, 27), at=now, by=by)
    make_arrival(by, now)


def the_sheet() -> str:
    return f"/build/{Build.objects.filter(state=State.INTAKE).earliest('pk').number}/"


def the_parcel() -> str:
    build = Build.objects.filter(state=State.INTAKE).earliest("pk")
    return f"/intake/{build.matches.get().arrival_id}/"


PAGES: dict[str, Callable[[], str]] = {
    "Today": lambda: "/",
    "Bench": lambda: "/bench/",
    "sheet": the_sheet,
    "Intake": lambda: "/intake/",
    "new parcel": lambda: "/intake/new/",
    "parcel": the_parcel,
    "dispatch day": lambda: "/dispatch/",
    "tell many": lambda: "/dispatch/tell/",
    "for the road": lambda: "/dispatch/paper/?day=2026-11-27",
    "tell": lambda: f"{the_sheet()}tell/",
    "tag": lambda: f"{the_sheet()}tag/",
}


@pytest.mark.parametrize("name", PAGES)
def test_page_costs_the_same_for_many_builds(
    bench_client: Client, owner: User, now: datetime, name: str
) -> None:
    counts = []
    for times in (FEW, MANY - FEW):
        for _ in range(times):
            ten_builds(owner, now)
        bench_client.get(PAGES[name]())
        with CaptureQueriesContext(connection) as asked:
            assert bench_client.get(PAGES[name]()).status_code == 200
        counts.append(len(asked))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("many", [1, 4])
def test_sheet_costs_the_same_however_much_stands_on_it(
    bench_client: Client, owner: User, now: datetime, many: int
) -> None:
    build = stands.in_intake(owner, now)
    counts = []
    for _ in range(2):
        for _ in range(many):
            fill(build, owner, now)
        with CaptureQueriesContext(connection) as asked:
            bench_client.get(f"/build/{build.number}/")
        counts.append(len(asked))
    assert counts[0] == counts[1]


def fill(build: Build, by: User, now: datetime) -> None:
    """One more of everything that a sheet lists."""
    intake.note_condition(build, section="grip", grade="worn", words="thin", by=by, now=now)
    intake.add_photo(make_blob(now), build=build, by=by, now=now)
    answer(build, "heat", by, now)
    put_on_hold(build, by, now, before="test")
    take_views(build, State.INTAKE, by, now)


class ReadWhileDrawn(AssertionError):
    """A page asked the database for something while its template was at work."""


def refuse(*args: Any) -> None:
    raise ReadWhileDrawn(f"read while the page was drawn: {args[1]}")


@pytest.fixture
def database_shut_while_drawing(monkeypatch: pytest.MonkeyPatch) -> None:
    def drawn(template: str, data: dict[str, Any], request: HttpRequest) -> str:
        with connection.execute_wrapper(refuse):
            return render_to_string(template, data, request)

    monkeypatch.setattr("shop.web.partials.render_to_string", drawn)


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.usefixtures("database_shut_while_drawing")
def test_page_is_drawn_from_what_was_read(
    owner_client: Client, owner: User, now: datetime, name: str
) -> None:
    ten_builds(owner, now)
    assert owner_client.get(PAGES[name]()).status_code == 200


DEEDS = ["put", "cell", "condition", "answer", "hold", "promise", "back", "end", "pass"]


@pytest.mark.parametrize("deed", DEEDS)
@pytest.mark.usefixtures("database_shut_while_drawing")
def test_refused_sheet_is_drawn_from_what_was_read(
    owner_client: Client, owner: User, now: datetime, deed: str
) -> None:
    ten_builds(owner, now)
    assert tap(owner_client, f"{the_sheet()}{deed}/", tray="0").status_code == 422


@pytest.mark.parametrize("deed", ["match", "belongings", "cell"])
@pytest.mark.usefixtures("database_shut_while_drawing")
def test_refused_parcel_is_drawn_from_what_was_read(
    owner_client: Client, owner: User, now: datetime, deed: str
) -> None:
    ten_builds(owner, now)
    assert tap(owner_client, f"{the_parcel()}{deed}/").status_code == 422
