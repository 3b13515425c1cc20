"""From parts, wires and slots to the sums: what is taken, what is passed, what is missing."""

from collections.abc import Mapping
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from builds.engineering.findings import Level
from builds.engineering.power import Limit
from builds.fitting.loads import Chosen, Shown, Wants, Wired, judged
from builds.fitting.loads.judged import powered_days
from builds.fitting.power_words import numbers
from builds.fitting.power_words.lacks import CODES
from shop.stores.queries import Figure, Figures
from shop.stores.specs import quantities
from tests.fitting.powering import ACCENT, BLADE, BOARD, CELL, CONNECTOR, SPEAKER

RED, CYAN, WHITE = "#ff0000", "#00ffff", "#ffffff"


def part(
    kind: str, kept: tuple[Mapping[str, Any], Mapping[str, float]], quantity: int = 1, **own: Any
) -> Chosen:
    spec = {**kept[0], **kept[1], **own}
    by_name = {
        each.name: Figure(each, spec[each.name], "maker's sheet", is_typical=False)
        for each in quantities(kind)
        if spec.get(each.name) is not None
    }
    return Chosen(f"the {kind}", kind, quantity, Figures(by_name), 7)


def wants(*parts: Chosen, slots: tuple[str, ...] = (RED, CYAN), cap: float = 0.6) -> Wants:
    usual = (part("cell", CELL), part("board", BOARD), part("blade", BLADE))
    shown = tuple(Shown(n, f"slot {n}", colour) for n, colour in enumerate(slots, 1))
    return Wants(parts or usual, (), shown, cap, True, 30.0)


def codes(found: Wants) -> set[str]:
    return {lack.code for lack in judged(found).lacks}


def findings(found: Wants) -> dict[str, Level]:
    return {each.code: each.level for each in judged(found).findings}


def test_strip_is_reckoned_by_its_counted_pixels_and_the_cap() -> None:
    strip = judged(wants()).strip
    assert strip is not None
    assert strip.worst_a(RED, 0.6) == pytest.approx(264 * (0.6 * 12 + 0.6) / 1000)
    assert strip.typical_a(CYAN, 0.6) == pytest.approx(264 * (2 * 0.6 * 10 + 0.6) / 1000)


def test_each_slot_is_a_case_of_its_own_and_full_white_one_on_paper() -> None:
    verdict = judged(wants()).verdict
    assert verdict is not None
    assert list(verdict.budgets) == ["1 slot 1", "2 slot 2", "full white"]
    assert verdict.worst == "2 slot 2"


def test_own_slot_over_a_limit_stops() -> None:
    found = wants(
        part("cell", CELL), part("board", BOARD), part("blade", BLADE),
        part("connector", CONNECTOR, current_ma=3000),
    )  # fmt: skip
    assert findings(found)["over-limit"] is Level.STOPS


def test_full_white_over_a_limit_is_one_decision() -> None:
    found = wants(
        part("cell", CELL, max_current_ma=8000), part("board", BOARD), part("blade", BLADE),
        part("connector", CONNECTOR),
    )  # fmt: skip
    power = judged(found)
    assert [each.code for each in power.findings if each.level is Level.DECIDE] == ["full-white"]
    assert power.stops == ()


def test_own_slot_of_full_white_without_a_cap_stops() -> None:
    found = wants(
        part("cell", CELL, max_current_ma=8000), part("blade", BLADE), slots=(WHITE,), cap=1.0
    )
    assert findings(found)["over-limit"] is Level.STOPS


def test_lower_of_conflicting_ratings_counts() -> None:
    # Figures hand the lower one on and keep the other beside it.
    rated = part("cell", CELL, max_current_ma=8000)
    figure = rated.figures.by_name["max_current_ma"]
    other = replace(figure, value=15_000, source="another chart")
    known = {**rated.figures.by_name, "max_current_ma": replace(figure, others=(other,))}
    cell = replace(rated, figures=Figures(known))
    power = judged(wants(cell, part("blade", BLADE)))
    assert power.cored is not None
    assert power.cored.cell.rating.limit_a == 8
    assert power.cored.limit.others == ((15_000.0, "another chart"),)


def test_switch_counts_only_where_it_stays_in() -> None:
    hole = {"hole_mm": 12, "body_mm": 14, "depth_mm": 20}
    springs = part("switch", (hole, {"current_ma": 500}), latching="no")
    stays = part("switch", (hole, {"current_ma": 500}), latching="yes")
    base = (part("cell", CELL), part("blade", BLADE))
    assert "over-limit" not in findings(wants(*base, springs))
    assert findings(wants(*base, stays))["over-limit"] is Level.STOPS


def test_led_is_reckoned_with_its_resistor_at_a_full_cell() -> None:
    led = part("led", ({"forward_mv": 3200}, {"current_ma": 1000}))
    power = judged(wants(part("cell", CELL), led))
    resistor = power.resistors[0].resistor
    assert resistor is not None
    assert resistor.chosen_ohm == pytest.approx(0.43)
    assert power.drawn[0].load.worst_a == pytest.approx(1 / 0.43)
    assert findings(wants(part("cell", CELL), led))["led-full"] is Level.KNOW


def test_resistor_is_taken_from_the_series_at_hand() -> None:
    accent = part("accent", ACCENT, current_ma=20)
    taken = {
        series: judged(wants(part("cell", CELL), accent), series).resistors[0].resistor
        for series in ("E12", "E24", "E96")
    }
    ohms = {series: found.chosen_ohm for series, found in taken.items() if found}
    assert ohms == pytest.approx({"E12": 22, "E24": 20, "E96": 20})


def test_led_that_the_cell_cannot_light_says_why() -> None:
    led = part("led", ({"forward_mv": 6000}, {"current_ma": 350}))
    power = judged(wants(part("cell", CELL), led))
    assert "The cell cannot light it: it wants" in power.resistors[0].why_not
    assert findings(wants(part("cell", CELL), led))["led-unlit"] is Level.DECIDE


def test_speaker_that_the_amplifier_overdrives_needs_a_decision() -> None:
    small = part("speaker", SPEAKER, ohm=4, power_mw=1000)
    assert findings(wants(part("cell", CELL), part("blade", BLADE), small))["speaker-over"] is (
        Level.DECIDE
    )


def test_strip_left_powered_is_told_when_it_kills_the_cell() -> None:
    power = judged(wants())
    days = powered_days(power)
    assert days is not None
    assert days < 1
    assert findings(wants())["strip-powered"] is Level.KNOW


@pytest.mark.parametrize(
    ("lack", "found"),
    [
        ("no-cell", wants(part("blade", BLADE))),
        ("cell-without-figures", wants(part("cell", CELL, capacity_mah=None))),
        ("pixels-not-counted", wants(part("cell", CELL), part("blade", BLADE, pixels=None))),
        ("no-light", wants(part("cell", CELL))),
        ("no-slot", wants(slots=())),
        ("no-board", wants(part("cell", CELL), part("blade", BLADE))),
        ("no-wire", wants()),
        ("board-without-working", wants(part("board", BOARD, working_ma=None))),
        ("board-without-idle", wants(part("board", BOARD, idle_ma=None, sleep_ma=None))),
        ("light-without-current", wants(part("accent", ACCENT))),
        ("speaker-without-ohm", wants(part("cell", CELL), part("speaker", SPEAKER, ohm=None))),
        ("wire-without-length", replace(wants(), wires=(Wired("w", "all", 22, 0),))),
        ("wire-feeds-no-accents", replace(wants(), wires=(Wired("w", "accents", 28, 50),))),
        ("wire-feeds-no-speaker", replace(wants(), wires=(Wired("w", "speaker", 28, 50),))),
        ("charge-unknown", replace(wants(), wires=(Wired("w", "charge", 28, 50),))),
        ("impossible-cell", wants(part("cell", CELL, full_mv=2000))),
    ],
)  # fmt: skip
def test_what_is_missing_is_named(lack: str, found: Wants) -> None:
    assert lack in codes(found)
    assert lack in CODES


def test_pixels_of_a_strip_are_taken_from_its_length_as_a_guess() -> None:
    strip = part("strip", ({"pixels_per_m": 144, "channel_ma": 12}, {}), 900)
    power = judged(wants(part("cell", CELL), strip))
    assert power.strip is not None
    assert (power.strip.pixels.value, power.strip.pixels.is_guess) == (129, True)
    assert "pixels-by-length" in {lack.code for lack in power.lacks}


def test_charging_wire_is_judged_by_the_ports_current() -> None:
    port = part("port", ({"width_mm": 9.2, "height_mm": 4.5}, {"charge_ma": 3000}))
    found = replace(
        wants(part("cell", CELL), part("blade", BLADE), port),
        wires=(Wired("port to cell", "charge", 28, 80),),
    )
    power = judged(found)
    assert [(each.code, each.about) for each in power.stops] == [("over-upper", "port to cell")]


def test_more_current_never_lengthens_runtime() -> None:
    chance = Random(1)  # noqa: S311 – currents, not secrets
    for _nth in range(150):
        less, more = sorted(chance.uniform(1, 40) for _ in range(2))
        short, long = (_runtimes(channel) for channel in (more, less))
        assert short[0] <= long[0]
        assert short[1] <= long[1] * (1 + 1e-12)


def _runtimes(channel_ma: float) -> tuple[float, float]:
    blade = part("blade", BLADE, channel_ma=channel_ma, channel_typical_ma=None)
    own = judged(wants(part("cell", CELL), blade)).own
    assert own is not None
    return own.runtime_worst_h, own.runtime_typical_h


def test_rounding_never_turns_red_to_green() -> None:
    chance = Random(2)  # noqa: S311 – currents, not secrets
    for _nth in range(2000):
        limit_a, off = chance.uniform(0.001, 30), chance.uniform(-1e-4, 1e-4)
        held = Limit("a wire", limit_a * (1 + off), limit_a, "a table")
        assert ("too much" in numbers.margin(held)) is (not held.ok)


def test_currents_round_up_and_limits_down() -> None:
    chance = Random(3)  # noqa: S311 – currents, not secrets
    for _nth in range(2000):
        ampere = chance.choice([chance.uniform(0.01, 1), chance.uniform(1, 50)])
        unit, step = (1, 0.01) if ampere >= 1 else (1000, 0.001)
        flows = float(numbers.current(ampere).split(numbers.THIN)[0]) / unit
        bears = float(numbers.limit(ampere).split(numbers.THIN)[0]) / unit
        assert bears - 1e-8 <= ampere <= flows + 1e-8
        assert flows - bears <= step + 1e-8


def test_several_cells_want_a_decision_on_how_they_are_wired() -> None:
    found = judged(wants(part("cell", CELL, 2), part("blade", BLADE))).findings
    many = next(each for each in found if each.code == "cells-many")
    assert (many.level, many.figures["cells"]) == (Level.DECIDE, 2)
