"""Decisions hold as long as what was found is no worse than when they were taken."""

from datetime import datetime
from types import MappingProxyType
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction
from django.test import Client

from builds.engineering.findings import Finding, Level
from builds.fitting.actions.decide import decide
from builds.fitting.models import Decision
from builds.fitting.power_words.sentences import key_of
from builds.fitting.queries.decided import WORSE, holding
from builds.progress.models import Build
from builds.progress.states import State
from shop.house.queries import house
from shop.models import Part, User
from tests.bench.pages import words
from tests.fitting.powering import powered
from tests.makers import make_build

IDLE = "idle-days"


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    shop = house()
    shop.least_idle_days = 300
    shop.save()
    return powered(make_build(owner, now, State.TEARDOWN), owner, now)


def sleeps_at(milliampere: float) -> None:
    board = Part.objects.get(kind="board")
    board.spec["sleep_ma"] = milliampere
    board.save()


def page_of(build: Build) -> str:
    return f"/build/{build.number}/power/"


def test_decision_keeps_its_figures(build: Build, owner: User, now: datetime) -> None:
    made = decide(build.pk, IDLE, "own charger", token=uuid4(), by=owner, now=now)
    assert made.figures["limit_days"] == 300
    with pytest.raises(DatabaseError), transaction.atomic():
        Decision.objects.filter(pk=made.pk).update(figures={})


def test_what_became_worse_is_asked_anew(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    decide(build.pk, IDLE, "own charger", token=uuid4(), by=owner, now=now)
    sleeps_at(2)
    page = words(bench_client.get(page_of(build)))
    assert "“own charger”, but it has become worse since. It was: Switched off" in page
    assert "2 decisions to take" in page  # this one and full white
    decide(build.pk, IDLE, "still fine", token=uuid4(), by=owner, now=now)
    assert "1 decision to take" in words(bench_client.get(page_of(build)))


def test_what_became_better_stays_decided_and_says_on_what(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    decide(build.pk, IDLE, "own charger", token=uuid4(), by=owner, now=now)
    sleeps_at(0.4)
    page = words(bench_client.get(page_of(build)))
    assert "It was decided on: Switched off" in page
    assert "1 decision to take" in page


def found(**figures: float | str) -> Finding:
    return Finding(Level.DECIDE, "bore-may-be-too-small", "grip", MappingProxyType(figures))


def test_two_parts_in_one_section_are_two_decisions() -> None:
    board, cell = found(what="board", on="cell"), found(what="cell", on="")
    assert key_of(board) != key_of(cell)


@pytest.mark.parametrize(("clearance", "stands"), [(0.06, True), (0.05, True), (0.0499, False)])
def test_less_room_than_decided_counts_no_more(clearance: float, stands: bool) -> None:
    row = Decision(code="x", figures={"clearance_mm": 0.05, "tolerance_mm": 0.1})
    held = holding([row], found(clearance_mm=clearance, tolerance_mm=0.1))
    assert (held is row) is stands


def test_full_white_is_never_asked_twice() -> None:
    assert "full-white" not in WORSE
