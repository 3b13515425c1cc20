"""What the power page advises where it stops a build: each advice taken is judged to carry."""

from dataclasses import replace
from datetime import datetime
from random import Random

import pytest
from django.test import Client

from builds.engineering.findings import Level
from builds.engineering.power import Limit
from builds.fitting.loads import Shown, Wants, Wired, judged
from builds.fitting.loads.advised import cap_that_carries
from builds.fitting.loads.bearing import carried_a, thinnest
from builds.fitting.power_words import numbers
from builds.fitting.queries.findings import findings_of
from builds.fitting.queries.power_advice import advice_on
from builds.gates.conditions import MET, UNMET
from builds.progress.models import Build
from builds.progress.states import State
from builds.sounds.actions import cap_brightness
from shop.house.queries import house
from shop.models import User
from tests.bench.pages import tap, words
from tests.fitting.powering import BLADE, BOARD, CELL, CONNECTOR, make, powered, put, slot
from tests.fitting.test_loads import part, wants
from tests.fitting.test_power_page import asked, page_of
from tests.makers import make_build


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    made = powered(make_build(owner, now, State.TEARDOWN), owner, now)
    slot(made, 3, "Chalk", "#ffffff", owner, now)
    cap_brightness(made.pk, 100, seen=60, by=owner, now=now)
    return made


@pytest.mark.django_db
def test_advised_cap_is_set_at_one_tap_and_meets_the_condition(
    bench_client: Client, build: Build
) -> None:
    assert asked(build)["power"] == UNMET
    advice = advice_on(findings_of([build], house())[build.pk].judged)
    assert f"A cap of {advice.cap} % carries every slot." in words(bench_client.get(page_of(build)))
    answer = tap(
        bench_client, f"/build/{build.number}/slots/brightness/",
        percent=str(advice.cap), seen="100", next=page_of(build),
    )  # fmt: skip
    assert "The cell carries every slot." in words(answer)
    assert asked(build)["power"] == MET


def carried(found: Wants, cap: int) -> bool:
    return not judged(replace(found, cap=cap / 100)).stops


def test_advised_cap_carries_and_one_per_cent_more_does_not() -> None:
    chance, advised = Random(4), 0  # noqa: S311 – sizes of parts, not secrets
    for _nth in range(150):
        found = _by_chance(chance)
        cap = cap_that_carries(judged(found))
        if cap is None:
            assert carried(found, round(found.cap * 100)) or not carried(found, 5)
            continue
        advised += 1
        assert carried(found, cap)
        assert not carried(found, cap + 1)
    assert advised > 50


def _by_chance(chance: Random) -> Wants:
    blade = part("blade", BLADE, pixels=chance.randint(40, 400), channel_ma=chance.randint(5, 20))
    cell = part("cell", CELL, max_current_ma=chance.randint(2000, 20_000))
    plug = part("connector", CONNECTOR, current_ma=chance.randint(2000, 12_000))
    base = wants(cell, part("board", BOARD), blade, plug, cap=chance.randint(5, 100) / 100)
    wire = Wired("board to blade", "blade", chance.choice([18, 20, 22]), 80, chance.randint(1, 3))
    colour = f"#{chance.randrange(0x1000000):06x}"
    return replace(base, wires=(wire,), slots=(Shown(1, "one", colour), Shown(2, "two", "#ffffff")))


def test_cap_is_not_advised_where_another_thing_stops_the_build() -> None:
    port = part("port", ({}, {"charge_ma": 5000}))
    thin = Wired("port to board", "charge", 30, 60)
    found = replace(wants(cap=0.1), wires=(thin,))
    found = replace(found, parts=(*found.parts, port))
    assert judged(found).stops
    assert cap_that_carries(judged(found)) is None


@pytest.mark.django_db
def test_wire_and_part_that_carry_are_named(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    put(build, make("connector", CONNECTOR, owner, now, "small one", current_ma=2000), owner, now)
    make("connector", CONNECTOR, owner, now, "strong one", current_ma=30_000)
    make("connector", CONNECTOR, owner, now, "weak one", current_ma=2500)
    page = words(bench_client.get(page_of(build)))
    assert "2 of 20 AWG side by side bear it" in page
    assert "In Stores, in place of small one" in page
    assert "strong one bears 30.00 A · none free" in page
    assert "weak one" not in page


def test_gauge_bears_what_the_slots_send_through_it() -> None:
    assert [thinnest(amps) for amps in (0.5, 0.51, 3.0, 7.0, 7.01, 16.5)] == [
        (30, 1), (28, 1), (22, 1), (18, 1), (20, 2), (18, 3),
    ]  # fmt: skip
    for cap in (0.2, 0.6, 1.0):
        found = wants(cap=cap)
        power = judged(found)
        wires = []
        for carries in ("all", "blade"):
            gauge, count = thinnest(carried_a(power, carries))
            wires.append(Wired(carries, carries, gauge, 60, count))
        stops = judged(replace(found, wires=tuple(wires))).stops
        assert not [each for each in stops if each.about in {"all", "blade"}]


def test_figures_of_a_broken_limit_agree() -> None:
    assert numbers.passed(7.0003, 7.0) == numbers.Passed(
        "7.0003\u202fA", "7.0000\u202fA", "0.3\u202fmA"
    )
    assert "0.3" in numbers.margin(Limit("a wire", 7.0003, 7.0, "a table"))
    chance = Random(5)  # noqa: S311 – currents, not secrets
    for _nth in range(2000):
        limit_a = chance.uniform(0.01, 30)
        shown = numbers.passed(limit_a * (1 + 10 ** chance.uniform(-6, 0)), limit_a)
        current, limit, over = (_amps(text) for text in vars(shown).values())
        assert over > 0
        assert abs(current - limit - over) < 1e-9


def _amps(text: str) -> float:
    value, unit = text.split(numbers.THIN)
    return float(value) / (1000 if unit == "mA" else 1)


@pytest.mark.django_db
def test_decision_does_not_say_that_no_slot_is_full_white_where_one_is(
    build: Build, owner: User, now: datetime
) -> None:
    def said() -> str:
        found = findings_of([build], house())[build.pk].said
        return next(each.text for each in found if each.level is Level.DECIDE)

    assert "No slot of this build is set so" not in said()
    cap_brightness(build.pk, 60, seen=100, by=owner, now=now)
    assert "No slot of this build is set so" in said()
