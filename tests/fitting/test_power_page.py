"""The power page: its answer, its limits, what is missing, what needs a decision."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.fitting.actions import Overtaken, Refused
from builds.fitting.actions.decide import decide
from builds.fitting.actions.freeze import freeze
from builds.fitting.models import Decision, Plan
from builds.fitting.queries.findings import findings_of
from builds.gates.conditions import UNMET, conditions
from builds.progress.models import Build
from builds.progress.states import State
from shop.history.queries import entries_about
from shop.house.models import House
from shop.house.queries import house
from shop.models import User
from shop.stores.models import Kit, Part
from tests.bench.pages import hidden, tap, words
from tests.fitting.powering import BLADE, BOARD, CELL, Kept, make, powered, put, slot, state_rating
from tests.makers import make_build

WHITE = "full-white"


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return powered(make_build(owner, now, State.TEARDOWN), owner, now)


@pytest.fixture
def empty(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.TEARDOWN)


def page_of(build: Build) -> str:
    return f"/build/{build.number}/power/"


def asked(build: Build) -> dict[str, str]:
    """Code → how the gate's condition stands."""
    return {found.code: found.state for found in conditions([build.pk])[build.pk]}


def follow(build: Build, kit: Kit) -> None:
    Plan.objects.update_or_create(build=build, defaults={"kit": kit})


def test_answer_stands_at_the_top(bench_client: Client, build: Build) -> None:
    page = words(bench_client.get(page_of(build)))
    assert "The cell carries every slot. Runtime about 32 min at the brightest." in page
    assert "1 decision to take." in page


def test_every_figure_says_what_it_follows_from(bench_client: Client, build: Build) -> None:
    page = words(bench_client.get(page_of(build)))
    assert "I = N × ((R + G + B) / 255 × b × I_ch + I_q)" in page
    assert "MachMotion, wire-sizing table, 75 °C column" in page
    assert "free air 16.00 A" in page
    assert "a guess: common practice, no source" in page


def test_lower_of_two_ratings_counts_and_both_are_told(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    cell = Part.objects.get(kind="cell")
    state_rating(cell.pk, "max_current_ma", 8000, "another chart", by=owner, now=now)
    page = words(bench_client.get(page_of(build)))
    assert "8.00 A the lower of what sources state" in page
    assert "another chart; 15000 mA says maker's sheet" in page


def test_slot_that_breaks_a_limit_stops_the_build(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    small = make("connector", ({}, {"current_ma": 3000}), owner, now, "small connector")
    put(build, small, owner, now)
    page = words(bench_client.get(page_of(build)))
    assert "Small connector bears 3.00 A; in slot 2 Frost 3.96 A pass it: 960 mA too much." in page
    assert asked(build)["power"] == UNMET


def test_slot_of_white_at_the_cap_may_stop_what_paper_does_not(
    build: Build, owner: User, now: datetime
) -> None:
    assert asked(build)["power"] != UNMET
    slot(build, 3, "Chalk", "#ffffff", owner, now)
    found = findings_of([build], house())[build.pk]
    assert not found.stops  # 5.86 A through 6 A: near
    assert any("less than a fifth" in said.text for said in found.worth_knowing)


def test_full_white_is_decided_once_a_kit(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    kit = Kit.objects.create(name="Pixel install")
    other = powered(make_build(owner, now, State.TEARDOWN), owner, now)
    for each in (build, other):
        follow(each, kit)
    page = bench_client.get(page_of(build))
    token = hidden(page.content.decode(), "token")
    assert "It may, for every “Pixel install”" in words(page)
    answer = tap(
        bench_client, f"{page_of(build)}decide/", key=WHITE, token=token, words="capped at 60 %"
    )
    assert "The decision is kept." in words(answer)
    assert "capped at 60 % Jory" in words(answer)
    assert (asked(build)["decisions"], asked(other)["decisions"]) == ("met", "met")
    assert Decision.objects.get().kit == kit
    said = [line.text for line in entries_about(kit.about)]
    assert said == ["May be so, full white on paper: capped at 60 %: for every “Pixel install”"]


def test_without_a_kit_it_is_decided_for_the_build_alone(
    build: Build, owner: User, now: datetime
) -> None:
    other = powered(make_build(owner, now, State.TEARDOWN), owner, now)
    decide(build.pk, WHITE, "capped", token=uuid4(), by=owner, now=now)
    assert (asked(build)["decisions"], asked(other)["decisions"]) == ("met", UNMET)


def test_another_kits_decision_is_not_this_ones(build: Build, owner: User, now: datetime) -> None:
    other = powered(make_build(owner, now, State.TEARDOWN), owner, now)
    for each, name in ((build, "one"), (other, "two")):
        follow(each, Kit.objects.create(name=name))
    decide(build.pk, WHITE, "capped", token=uuid4(), by=owner, now=now)
    assert asked(other)["decisions"] == UNMET


def test_double_tap_decides_once(build: Build, owner: User, now: datetime) -> None:
    token = uuid4()
    for _tap in range(2):
        decide(build.pk, WHITE, "capped", token=token, by=owner, now=now)
    assert Decision.objects.count() == 1


def test_other_tablet_decided_first(
    build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    decide(build.pk, WHITE, "capped", token=uuid4(), by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory decided it first: capped"):
        decide(build.pk, WHITE, "mine", token=uuid4(), by=owner, now=now)


def test_what_is_not_found_is_not_decided(empty: Build, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="nothing to decide"):
        decide(empty.pk, WHITE, "capped", token=uuid4(), by=owner, now=now)


def test_decision_wants_its_reason_and_nothing_is_lost(bench_client: Client, build: Build) -> None:
    answer = bench_client.post(
        f"{page_of(build)}decide/", {"key": WHITE, "token": uuid4(), "words": " "}
    )
    assert answer.status_code == 422
    assert "This field is required." in words(answer)
    assert not Decision.objects.exists()


def test_what_is_missing_leads_to_where_it_is_met(bench_client: Client, empty: Build) -> None:
    html = bench_client.get(page_of(empty)).content.decode()
    assert "No answer yet." in words(html)
    for text, url in (
        ("Choose a cell", f"/build/{empty.number}/parts/"),
        ("Write the slots down", f"/build/{empty.number}/slots/"),
        ("List the wires", f"/build/{empty.number}/wires/"),
    ):
        assert f'<a href="{url}">{text}</a>' in html


def test_blade_whose_pixels_are_not_counted_leads_to_the_part(
    bench_client: Client, empty: Build, owner: User, now: datetime
) -> None:
    put(empty, make("cell", CELL, owner, now), owner, now)
    blade = make("blade", BLADE, owner, now, pixels=None)
    put(empty, blade, owner, now)
    html = bench_client.get(page_of(empty)).content.decode()
    assert "The pixels of blade as tried are not counted." in words(html)
    assert f'<a href="/stores/parts/{blade.pk}/">Count them</a>' in html


def test_cell_at_rest_is_held_to_the_shops_days(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    assert "214 days" in words(bench_client.get(page_of(build)))
    House.objects.update(least_idle_days=300)
    page = words(bench_client.get(page_of(build)))
    assert "Switched off, a full cell lasts 214 days; the shop wants 300 days." in page


def test_strip_left_powered_is_told(bench_client: Client, build: Build) -> None:
    page = words(bench_client.get(page_of(build)))
    assert "Let the board switch the strip's supply" in page


def test_typical_figures_look_like_guesses(
    bench_client: Client, empty: Build, owner: User, now: datetime
) -> None:
    blade = make("blade", BLADE, owner, now)
    Part.objects.filter(pk=blade.pk).update(is_typical=True)
    put(empty, make("cell", CELL, owner, now), owner, now)
    put(empty, blade, owner, now)
    slot(empty, 1, "Ember", "#ff0000", owner, now)
    html = bench_client.get(page_of(empty)).content.decode()
    assert "a guess: typical of such parts, came with the tool" in words(html)
    assert '<span class="num estimate">3.33\u202fA</span>' in html


@pytest.mark.parametrize("series", ["E12", "E24", "E96"])
def test_resistors_follow_the_series_at_hand(
    bench_client: Client, build: Build, owner: User, now: datetime, series: str
) -> None:
    accent: Kept = ({"pixels": 0, "forward_mv": 2000, "current_ma": 20}, {})
    put(build, make("accent", accent, owner, now, "white accent"), owner, now, 2)
    page = words(bench_client.get(f"{page_of(build)}?series={series}"))
    taken = {"E12": "82 Ω", "E24": "82 Ω", "E96": "80.6 Ω"}[series]
    assert "2 × white accent 80 Ω" in page
    assert taken.replace(" ", "\u202f") in page or taken in page.replace("\u202f", " ")


def test_unknown_series_falls_back(bench_client: Client, build: Build) -> None:
    assert bench_client.get(f"{page_of(build)}?series=E7").status_code == 200


def test_slots_and_a_cell_open_the_gate(empty: Build, owner: User, now: datetime) -> None:
    assert asked(empty)["slots"] == asked(empty)["power"] == UNMET
    powered(empty, owner, now)
    assert asked(empty)["slots"] == asked(empty)["power"] == "met"


def test_power_is_kept_as_the_build_leaves_teardown(
    build: Build, owner: User, now: datetime
) -> None:
    plan = freeze(build, now)
    kept = plan.power or {}
    assert kept["worst"] == "2 Frost"
    assert kept["cases"]["2 Frost"]["worst_a"] == pytest.approx(4.39, abs=0.01)
    assert [each["code"] for each in kept["findings"] if each["level"] == "decide"] == [WHITE]
    assert plan.frozen_at == now


def test_board_without_figures_is_said_not_guessed(
    bench_client: Client, empty: Build, owner: User, now: datetime
) -> None:
    put(empty, make("cell", CELL, owner, now), owner, now)
    put(empty, make("blade", BLADE, owner, now), owner, now)
    board = make("board", BOARD, owner, now, working_ma=None, idle_ma=None, sleep_ma=None)
    put(empty, board, owner, now)
    slot(empty, 1, "Ember", "#ff0000", owner, now)
    page = words(bench_client.get(page_of(empty)))
    assert "Nobody has said what board as tried takes at rest" in page
    assert "not known: nobody has said what the board takes at rest" in page
