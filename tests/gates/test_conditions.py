"""Which conditions each kind of job is asked for, and what meets each of them."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.gates.conditions import (
    LEAVE,
    MET,
    START,
    UNMET,
    Condition,
    conditions,
    ending_conditions,
)
from builds.intake import actions as intake
from builds.intake.models import View
from builds.models import Belonging, Build
from builds.progress import actions as progress
from builds.progress.states import Kind, Leaves, State
from shop.models import User
from tests.makers import (
    answer,
    check_cell,
    describe_slot,
    fit_a_part,
    hand_over,
    make_arrival,
    make_build,
    make_parcel,
    make_tray,
    prove,
    put_on_hold,
    take_apart,
    take_apart_and_carry,
    take_views,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def views(db: None) -> None:
    """The views that a new shop asks for."""
    intake.make_default_views()


def of(build: Build, trigger: str = LEAVE) -> dict[str, Condition]:
    """Code → condition of a build."""
    return {found.code: found for found in conditions([build.pk], trigger)[build.pk]}


INTAKE = ["arrived", "views", "belongings", "condition", "cell", "stands"]
UNKNOWN = [
    "bores",
    "steps",
    "chassis",
    "fit",
    "slots",
    "power",
]  # of a hilt of which nothing is known yet
NO_FIT = [code for code in UNKNOWN if code != "fit"]  # a board swap without a new chassis
POSTED = ["views", "accounted", "cell-aside", "parcel"]
HANDED = ["views", "accounted", "handed", "cell-aside", "parcel"]
IN_PERSON = ["accounted", "cell-aside"]
HANDED_IN_PERSON = ["accounted", "handed", "cell-aside"]
ASKED: dict[tuple[str, str], list[str]] = {
    # (kinds, stage): codes, in their order
    ("full upgrade repair warranty", State.BOOKED): ["arrived", "agreed"],
    ("full upgrade repair warranty", State.INTAKE): INTAKE,
    ("full", State.TEARDOWN): ["cell", "reconfirmed", *UNKNOWN],
    ("upgrade", State.TEARDOWN): ["cell", "reconfirmed", *NO_FIT],
    ("repair warranty", State.TEARDOWN): ["cell"],
    ("full upgrade", State.INSTALL): ["parts", "slots", "views"],
    ("repair warranty", State.INSTALL): ["views"],
    ("full upgrade repair warranty", State.TEST): ["proved"],
    ("full upgrade", State.DISPATCH): HANDED,
    ("repair warranty", State.DISPATCH): POSTED,
    ("blade", State.BOOKED): ["agreed"],
    ("blade", State.INTAKE): [],
    ("blade", State.TEARDOWN): [],
    ("blade", State.INSTALL): [],
    ("blade", State.TEST): ["proved", "blade-tried"],
    ("blade", State.DISPATCH): ["parcel"],
}
TABLE = [
    (kind, stage, Leaves.POST, codes)
    for (kinds, stage), codes in ASKED.items()
    for kind in kinds.split()
] + [
    (Kind.FULL, State.DISPATCH, Leaves.COLLECTION, HANDED_IN_PERSON),
    (Kind.UPGRADE, State.DISPATCH, Leaves.COLLECTION, HANDED_IN_PERSON),
    (Kind.REPAIR, State.DISPATCH, Leaves.COLLECTION, IN_PERSON),
    (Kind.WARRANTY, State.DISPATCH, Leaves.COLLECTION, IN_PERSON),
    (Kind.BLADE, State.DISPATCH, Leaves.COLLECTION, []),
]


@pytest.mark.parametrize(("kind", "stage", "leaves_by", "codes"), TABLE)
def test_kind_of_job_and_way_of_leaving_choose_the_conditions(
    kind: str, stage: str, leaves_by: str, codes: list[str], owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage, kind=kind, leaves_by=leaves_by)
    asked = list(of(build))
    if (stage, leaves_by) == (State.DISPATCH, Leaves.COLLECTION) and kind != Kind.BLADE:
        assert of(build)["views"].state == MET  # none of the shop's views applies
        asked.remove("views")
    assert asked == codes


@pytest.mark.parametrize("kind", [Kind.FULL, Kind.UPGRADE])
def test_starting_teardown_asks_what_leaving_it_unstarted_asks(
    kind: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=kind)
    assert list(of(build, START)) == ["cell", "reconfirmed"]
    unknown = UNKNOWN if kind == Kind.FULL else NO_FIT
    assert list(of(build, LEAVE)) == ["cell", "reconfirmed", *unknown]


def test_leaving_a_started_teardown_asks_no_start_conditions_again(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    assert list(of(build)) == UNKNOWN


Deed = Callable[[Build, User, datetime], object]


def _arrive(build: Build, by: User, now: datetime) -> None:
    intake.match(make_arrival(by, now), build, by, now)


def _say_nothing_else(build: Build, by: User, now: datetime) -> None:
    _arrive(build, by, now)
    intake.nothing_else(build.matches.get().arrival, by, now)


def _note_a_stand(build: Build, by: User, now: datetime) -> None:
    _arrive(build, by, now)
    intake.add_belongings(build.matches.get().arrival, [("stand", 1)], by, now)


def _note_condition(build: Build, by: User, now: datetime) -> None:
    intake.note_condition(build, section="grip", grade="worn", words="dull", by=by, now=now)


MEETS: list[tuple[str, str, Deed]] = [
    (State.BOOKED, "arrived", _arrive),
    (State.BOOKED, "agreed", lambda build, by, now: answer(build, "agreed", by, now)),
    (State.INTAKE, "views", lambda build, by, now: take_views(build, State.INTAKE, by, now)),
    (State.INTAKE, "belongings", _note_a_stand),
    (State.INTAKE, "belongings", _say_nothing_else),
    (State.INTAKE, "condition", _note_condition),
    (State.INTAKE, "cell", check_cell),
    (State.INTAKE, "cell", lambda build, by, now: check_cell(build, by, now, "none")),
    (
        State.INTAKE,
        "stands",
        lambda build, by, now: progress.put(build.pk, tray=make_tray(), place=None, by=by, now=now),
    ),
    (State.TEARDOWN, "reconfirmed", lambda b, by, now: answer(b, "reconfirmed", by, now)),
    (State.TEARDOWN, "slots", describe_slot),
    (State.TEARDOWN, "power", take_apart_and_carry),
    (State.TEARDOWN, "fit", take_apart_and_carry),
    (State.INSTALL, "slots", describe_slot),
    (State.INSTALL, "parts", fit_a_part),
    (State.TEARDOWN, "bores", take_apart),
    (State.TEARDOWN, "steps", take_apart),
    (State.TEARDOWN, "chassis", take_apart),
    (State.INSTALL, "views", lambda build, by, now: take_views(build, State.INSTALL, by, now)),
    (State.TEST, "proved", prove),
    (State.DISPATCH, "views", lambda build, by, now: take_views(build, State.DISPATCH, by, now)),
    (State.DISPATCH, "handed", hand_over),
    (State.DISPATCH, "parcel", lambda build, by, now: make_parcel([build], by, now)),
]


@pytest.mark.parametrize(("stage", "code", "deed"), MEETS)
def test_condition_is_unmet_until_it_is_met(
    stage: str, code: str, deed: Deed, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage)
    assert of(build)[code].state == UNMET
    deed(build, owner, now)
    assert of(build)[code].state == MET


def test_every_condition_that_is_met_by_a_deed_is_in_the_table_of_deeds() -> None:
    asked = {code for codes in ASKED.values() for code in codes}
    elsewhere = {"accounted", "cell-aside", "blade-tried"}
    assert asked - {code for _stage, code, _deed in MEETS} == elsewhere


def test_unmet_condition_says_what_to_do_and_where(owner: User, now: datetime) -> None:
    for condition in of(make_build(owner, now, State.INTAKE)).values():
        assert condition.text
        assert condition.deed
        assert condition.link.startswith("#")


def test_what_to_do_is_on_the_build_sheet(owner: User, owner_client: Client, now: datetime) -> None:
    for stage in (State.BOOKED, State.INTAKE, State.DISPATCH):
        build = make_build(owner, now, stage)
        page = owner_client.get(f"/build/{build.number}/").content.decode()
        for condition in of(build).values():
            if condition.is_elsewhere:
                assert f'href="{condition.link}"' in page
                continue
            assert f'id="{condition.link.partition("#")[2]}"' in page


def test_missing_views_are_named_and_counted(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INTAKE)
    View.objects.exclude(code__in=["box-shut", "side-a"]).update(retired=True)
    assert of(build)["views"].text == "2 views to take: box shut, one side"


def test_retired_view_is_asked_for_no_more(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    View.objects.filter(stage=State.INSTALL).update(retired=True)
    assert "views" not in of(build)


@pytest.mark.parametrize("code", ["agreed", "reconfirmed"])
def test_no_after_a_yes_shuts_the_gate_without_the_customers_words(
    code: str, owner: User, now: datetime
) -> None:
    stage = State.BOOKED if code == "agreed" else State.TEARDOWN
    build = make_build(owner, now, stage)
    answer(build, code, owner, now)
    answer(build, code, owner, now, is_yes=False)
    assert of(build)[code].state == UNMET
    assert "said no" in of(build)[code].text
    assert "Do it." not in of(build)[code].text  # they may name a price


@pytest.mark.parametrize(
    ("result", "millivolts", "words"),
    [
        ("aside", 3700, "set aside as damaged"),
        ("rewrap", 3700, "wrap is torn"),
        ("good", 2499, "over-discharged"),
        ("good", 0, "over-discharged"),
    ],
)
def test_damaged_cell_stops_dispatch_until_another_is_looked_at(
    result: str, millivolts: int, words: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    check_cell(build, owner, now, result, millivolts)
    assert of(build)["cell-aside"].state == UNMET
    assert words in of(build)["cell-aside"].text
    check_cell(build, owner, now, "good")
    assert of(build)["cell-aside"].state == MET


@pytest.mark.parametrize(("result", "millivolts"), [("good", None), ("good", 2500), ("none", 0)])
def test_whole_cell_or_none_may_leave(
    result: str, millivolts: int | None, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.DISPATCH)
    check_cell(build, owner, now, result, millivolts)
    assert of(build)["cell-aside"].state == MET


def test_belongings_are_accounted_for_one_by_one(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    arrival = make_arrival(owner, now)
    intake.match(arrival, build, owner, now)
    intake.add_belongings(arrival, [("stand", 1), ("pin", 1)], owner, now)
    assert of(build)["accounted"].text == "Back in the box? stand, pin"
    stand, pin = Belonging.objects.all()
    intake.account_for(stand, kept_because="", by=owner, now=now)
    assert of(build)["accounted"].text == "Back in the box? pin"
    intake.account_for(pin, kept_because="he gave it to us", by=owner, now=now)
    assert of(build)["accounted"].state == MET


def test_ending_unfinished_asks_for_belongings_and_the_cell(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INSTALL)
    assert [found.code for found in ending_conditions(build.pk)] == [
        "accounted",
        "cell-aside",
    ]


HOLDS = [
    # stage, stops before, stops starting, stops leaving
    (State.TEARDOWN, "", True, True),
    (State.TEARDOWN, State.TEARDOWN, True, True),
    (State.TEARDOWN, State.INSTALL, False, True),
    (State.TEARDOWN, State.TEST, False, False),
    (State.INSTALL, State.TEARDOWN, True, True),
    (State.DISPATCH, State.DISPATCH, True, True),
    (State.TEST, State.DISPATCH, False, True),
]


@pytest.mark.parametrize(("stage", "before", "start", "leave"), HOLDS)
def test_hold_stops_now_or_before_its_stage(
    stage: str, before: str, start: bool, leave: bool, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage)
    code = f"hold-{put_on_hold(build, owner, now, before=before).pk}"
    assert (code in of(build, START)) is start
    assert (code in of(build, LEAVE)) is leave


def test_hold_that_ended_stops_nothing(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    held = put_on_hold(build, owner, now)
    progress.end_hold(held.pk, by=owner, now=now)
    assert list(of(build)) == ["proved"]


def _count(ids: list[int]) -> int:
    with CaptureQueriesContext(
        connection,
    ) as queries:
        conditions(ids)
    return len(queries)


def test_forty_builds_ask_no_more_queries_than_four(owner: User, now: datetime) -> None:
    builds = []
    stages = [State.BOOKED, State.INTAKE, State.TEARDOWN, State.DISPATCH]
    for n in range(40):
        build = make_build(owner, now, stages[n % 4])
        _note_a_stand(build, owner, now)
        answer(build, "agreed", owner, now)
        put_on_hold(build, owner, now)
        facts = {"stage": build.state, "stay_since": build.state_since, "by": owner, "at": now}
        build.passes.create(code="views", reason="seen", **facts)
        if build.state == State.DISPATCH:
            make_parcel([build], owner, now)
        builds.append(build.pk)
    assert _count(builds[:4]) == _count(builds)
