"""Lengths as they are read: in the shop's unit, rounded to the side that promises less."""

import re
from datetime import datetime
from random import Random

import pytest
from django.test import Client

from builds.engineering.power import Limit
from builds.fitting import drawing
from builds.fitting.actions.freeze import freeze
from builds.fitting.drawing.reading import least_shown, lengths_in, over_shown, room_shown, shown
from builds.fitting.power_words import numbers
from builds.models import Build
from builds.progress.states import State
from shop.house.queries import house
from shop.models import User
from tests.bench.pages import words
from tests.fitting.fits import fit_out, laid
from tests.makers import make_build


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


def value(text: str) -> float:
    return float(text.replace("\u2212", "-"))


def test_what_does_not_fit_never_reads_as_nothing() -> None:
    assert (room_shown(-0.004), over_shown(-0.004)) == ("\u22120.01", "0.01")
    with lengths_in("in"):
        assert (room_shown(-0.004), over_shown(-0.004)) == ("\u22120.001", "0.001")


def test_nothing_has_no_sign() -> None:
    assert [shown(-0.001), room_shown(-1e-12), room_shown(0.0)] == ["0.0", "0.0", "0.0"]


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_rounding_never_turns_red_green(unit: str) -> None:
    chance = Random(8)  # noqa: S311  # no secret, the same cases each time
    factor = 25.4 if unit == "in" else 1
    with lengths_in(unit):
        for _case in range(1000):
            room = round(chance.uniform(-0.2, 0.2), 6)
            assert value(room_shown(room)) * factor <= room + 1e-8
            assert (value(room_shown(room)) < 0) == (room < 0)
            assert value(least_shown(20 + room)) * factor >= 20 + room - 1e-8


def test_a_limit_passed_by_a_hair_never_reads_as_something_left() -> None:
    chance = Random(9)  # noqa: S311  # no secret, the same cases each time
    for _case in range(1000):
        over = chance.uniform(1e-6, 5e-4)
        held = Limit("wire", 3 + over, 3.0, "")
        assert "too much" in numbers.margin(held)
        assert float(numbers.margin(held).split("\u202f")[0]) > 0


def test_inches_are_drawn_where_the_shop_reads_inches() -> None:
    layout = laid()
    with lengths_in("in"):
        sheet = drawing.lengthwise(layout)
    assert sheet
    said = {
        mark.of: (mark.text, mark.mm) for mark in sheet.marks if isinstance(mark, drawing.Words)
    }
    assert said["length:1"] == ("2.047", "52.0000")
    assert said["clearance:3"][0] == "0.006 over"


def test_fit_page_and_gate_speak_inches(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    fit_out(build, owner, now, grip_bore=26.0)
    shop = house()
    shop.length_unit = "in"
    shop.save()
    page = words(bench_client.get(f"/build/{build.number}/fit/"))
    assert "Lengths in inches." in page
    assert re.search(r"\d\smm\b", page) is None
    sheet = words(bench_client.get(f"/build/{build.number}/"))
    assert re.search(r"is 0\.0\d\d\sin too much", sheet)


def test_power_page_lists_what_stops_by_the_fit(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    fit_out(build, owner, now, grip_bore=24.0)
    page = bench_client.get(f"/build/{build.number}/power/")
    assert "too much for the grip" in words(page)
    assert f"/build/{build.number}/fit/" in page.content.decode()


def test_pages_show_what_was_said_as_it_left_teardown(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    fit_out(build, owner, now)
    freeze(build, now)
    page = words(bench_client.get(f"/build/{build.number}/fit/"))
    assert "As it left teardown on" in page
    assert "grip, bore 28.5" in page
    assert "As it left teardown on" in words(bench_client.get(f"/build/{build.number}/power/"))
