"""Where parts lie in a hilt, what is left beside them, and what does not fit: pure."""

import random
from collections.abc import Sequence
from dataclasses import replace

import pytest

from builds.engineering.fit import LEAST_DEPTH_MM, clearance_mm, least_bore_mm
from builds.fitting.layout import Item, Layout, Opening, Size, Stretch, lay_out, swapped
from builds.fitting.layout.behind import moves_of
from tests.fitting.fits import (
    BLADE,
    BOARD,
    CELL,
    CONNECTOR,
    EMITTER,
    GRIP,
    HILT,
    ITEMS,
    NECK,
    POMMEL,
    SPEAKER,
    SWITCH,
    codes,
    laid,
)


def wider(stretch: Stretch, bore: float) -> Stretch:
    return replace(stretch, bore=Size(bore))


def test_sections_stand_one_behind_another() -> None:
    layout = laid()
    assert [(tube.x0, tube.x1) for tube in layout.tubes] == [
        (0, 52), (52, 98), (98, 210), (210, 254),
    ]  # fmt: skip
    assert layout.length == 254


def test_each_bore_is_cut_where_it_is_tightest() -> None:
    found = {cut.letter: cut for cut in laid().shown_cuts}
    assert [found[letter].tube.name for letter in "ABC"] == ["emitter", "grip", "pommel"]
    grip = found["B"]
    assert grip.combo.least_mm == least_bore_mm(18.5, 20, 3)
    assert grip.clearance_mm == pytest.approx(clearance_mm(26.01, 18.5, 20, 3), abs=1e-6)
    assert not grip.fits


def test_what_does_not_fit_stops_the_build_and_names_itself() -> None:
    layout = laid()
    first = layout.findings[0]
    assert (first.level, first.code, first.about) == ("stops", "bore-too-small", "grip")
    assert {thing.item.name for thing in layout.things if not thing.fits} == {"board"}


def test_a_wide_enough_grip_takes_them() -> None:
    layout = lay_out((EMITTER, NECK, wider(GRIP, 26.16), POMMEL), ITEMS)
    assert "bore-too-small" not in codes(layout)
    assert all(cut.fits for cut in layout.cuts)


def test_the_blade_is_engaged_and_parts_begin_behind_it() -> None:
    layout = laid()
    assert layout.blade
    assert layout.blade.end == 34
    assert min(thing.x0 for thing in layout.things) == 34


def test_room_is_kept_for_a_blade_that_is_not_chosen_yet() -> None:
    layout = lay_out(HILT, [CONNECTOR])
    assert layout.blade is None
    assert layout.things[0].x0 == 34


def test_slack_is_what_the_gaps_add_up_to() -> None:
    layout = laid()
    assert layout.slack
    assert layout.slack.nominal == pytest.approx(254 - 34 - 8 - 65.5 - 10)
    assert sum(gap.mm for gap in layout.gaps) == pytest.approx(layout.slack.nominal)
    assert (layout.slack.worst_low, layout.slack.worst_high) == pytest.approx((135.9, 137.1))


def test_a_board_lies_on_its_cell_and_takes_no_length() -> None:
    things = {thing.item.kind: thing for thing in laid().things}
    assert things["board"].x0 == things["cell"].x0
    assert things["board"].low == pytest.approx(things["cell"].high)


def test_a_part_too_long_for_its_section_is_asked_in_the_next_as_well() -> None:
    long = replace(CONNECTOR, length_mm=30, diameter_mm=24)
    layout = lay_out(HILT, [long])
    reach = next(found for found in layout.findings if found.code == "reaches-too-narrow")
    assert reach.about == "neck"
    assert reach.figures["clearance_mm"] == pytest.approx(-1.4)


def test_at_the_pommels_end_a_part_moves_forward_rather_than_out() -> None:
    speaker = replace(SPEAKER, length_mm=60, diameter_mm=20)
    thing = lay_out(HILT, [speaker]).things[0]
    assert (thing.x0, thing.x1) == (194, 254)


def test_parts_longer_than_the_hilt_stop_it() -> None:
    cells = [replace(CELL, key=key, position=key) for key in range(10, 14)]
    assert "too-long" in codes(lay_out(HILT, cells))


def test_cells_in_a_row_take_their_length_each() -> None:
    thing = lay_out(HILT, [replace(CELL, quantity=1), replace(CELL, key=9, quantity=2)]).things
    assert sorted(each.x1 - each.x0 for each in thing) == [65.5, 131]


def test_two_cells_side_by_side_want_both_diameters() -> None:
    second = replace(CELL, key=9, lies_on=4)
    cut = lay_out(HILT, [CELL, second]).cuts[0]
    assert cut.combo.least_mm == 37
    assert not cut.fits


def test_parts_that_lie_on_one_another_in_a_circle_are_still_laid_out() -> None:
    cell, board = replace(CELL, lies_on=5), replace(BOARD, lies_on=4)
    assert {thing.item.key for thing in lay_out(HILT, [cell, board]).things} == {4, 5}


def test_a_chassis_holds_what_is_in_its_section() -> None:
    chassis = Item(8, "chassis", "chassis", 3, diameter_mm=25.8, length_mm=100, bay_mm=18)
    layout = lay_out(HILT, [*ITEMS, chassis])
    thing = next(thing for thing in layout.things if thing.role == "chassis")
    assert (thing.x0, thing.x1) == (98, 198)
    assert "bay-too-small" in codes(layout)


def test_a_chassis_alone_is_a_part_like_another() -> None:
    layout = lay_out(HILT, [Item(8, "chassis", "chassis", 3, diameter_mm=27, length_mm=100)])
    assert codes(layout)[0] == "bore-too-small"


def test_a_switch_that_reaches_what_is_below_wants_a_decision() -> None:
    grip = replace(GRIP, openings=(Opening("switch", Size(12), Size(20)),))
    switch = replace(SWITCH, section=3)
    found = codes(lay_out((EMITTER, NECK, grip, POMMEL), [CELL, BOARD, switch]))
    assert "wall-part-meets" in found
    assert "wall-part-meets" not in codes(laid())


def test_a_switch_hole_below_points_the_other_way() -> None:
    neck = replace(NECK, openings=(Opening("switch", Size(12), Size(20), is_below=True),))
    thing = lay_out((EMITTER, neck, GRIP, POMMEL), [SWITCH]).things[0]
    assert thing.high < 0


def test_a_thread_that_stops_past_its_place_is_brought_home_by_a_shim() -> None:
    turn = laid().turns[0]
    assert (turn.behind, turn.angle_deg) == ("neck", 28)
    assert turn.shim_mm == pytest.approx(1.27 * 28 / 360)
    assert turn.has_switch


@pytest.mark.parametrize("clock", [0, 1.5, 359, 360])
def test_a_thread_that_stops_at_home_wants_none(clock: float) -> None:
    assert lay_out([replace(EMITTER, clock=Size(clock)), NECK], []).turns == ()


def test_a_bore_known_less_well_than_the_room_it_leaves_wants_a_decision() -> None:
    grip = replace(GRIP, bore=Size(26.2, tolerance=0.1))
    assert "bore-may-be-too-small" in codes(lay_out((EMITTER, NECK, grip, POMMEL), ITEMS))


def test_a_bore_that_is_only_believed_is_said_so() -> None:
    grip = replace(GRIP, bore=Size(28, "believed"))
    assert "bore-not-measured" in codes(lay_out((EMITTER, NECK, grip, POMMEL), ITEMS))


@pytest.mark.parametrize(
    ("hilt", "items", "code"),
    [
        ((), ITEMS, "no-sections"),
        ((EMITTER, replace(GRIP, length=None)), (CELL,), "no-length"),
        ((replace(GRIP, bore=None),), (CELL,), "no-bore"),
        ((GRIP,), (BLADE,), "no-socket"),
        ((replace(EMITTER, socket_bore=None),), (BLADE,), "no-socket-bore"),
        ((replace(EMITTER, socket_depth=None),), (BLADE,), "no-socket-depth"),
        (HILT, (), "no-parts"),
        (HILT, (BOARD,), "no-cell"),
        (HILT, (CELL,), "no-board"),
        (HILT, (replace(CELL, section=None),), "not-placed"),
        (HILT, (replace(CELL, diameter_mm=None),), "no-size"),
    ],
)
def test_what_is_missing_is_named(
    hilt: Sequence[Stretch], items: Sequence[Item], code: str
) -> None:
    assert code in {lack.code for lack in lay_out(hilt, items).lacks}


def test_nothing_is_missing_of_a_hilt_that_is_all_there() -> None:
    assert laid().lacks == ()


def test_what_nobody_measured_is_estimated_and_says_so() -> None:
    tube = lay_out([Stretch(1, "grip")], []).tubes[0]
    assert {tube.length.basis, tube.bore.basis, tube.outer.basis} == {"estimated"}
    assert tube.outer.mm > tube.bore.mm


def test_another_board_in_its_place_is_asked_the_same_way() -> None:
    cut = next(cut for cut in laid().cuts if not cut.fits)
    slim = swapped(cut.combo, BOARD, replace(BOARD, width_mm=18))
    assert slim
    assert slim.least_mm == least_bore_mm(18.5, 18, 3)


def _rooms(layout: Layout) -> dict[str, float]:
    return {cut.tube.name: round(cut.clearance_mm, 6) for cut in layout.cuts if not cut.reaches}


@pytest.mark.parametrize("seed", range(200))
def test_turning_the_stack_round_changes_nothing(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311  # any numbers will do
    hilt = [
        Stretch(key, f"s{key}", length, Size(chance.uniform(20, 32)))
        for key in range(1, 5)
        for length in (Size(chance.uniform(70, 120), tolerance=chance.choice((0, 0.1, 0.3))),)
    ]  # fmt: skip
    items = [
        Item(key, "cell", f"c{key}", key, diameter_mm=chance.uniform(14, 26),
             length_mm=chance.uniform(30, 69))
        for key in range(1, 5)
    ]  # fmt: skip
    one, other = lay_out(hilt, items), lay_out(hilt[::-1], items[::-1])
    assert _rooms(one) == _rooms(other)
    assert one.slack
    assert other.slack
    for end in ("nominal", "worst_low", "worst_high", "rss_low", "rss_high"):
        assert getattr(one.slack, end) == pytest.approx(getattr(other.slack, end))
    stops = [{(found.code, found.about) for found in each.findings} for each in (one, other)]
    assert stops[0] == stops[1]


@pytest.mark.parametrize("seed", range(200))
def test_a_larger_bore_never_fits_less(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311  # any numbers will do
    bore, more = chance.uniform(18, 34), chance.uniform(0, 3)
    cell = replace(CELL, diameter_mm=chance.uniform(10, 27))
    board = replace(BOARD, width_mm=chance.uniform(5, 33), height_mm=chance.uniform(0.5, 9))
    small, large = (
        lay_out((wider(GRIP, each),), [cell, board]).cuts[0] for each in (bore, bore + more)
    )
    assert large.clearance_mm >= small.clearance_mm
    assert large.fits or not small.fits


def test_blade_is_judged_by_the_least_depth_of_the_shop() -> None:
    layout = lay_out(HILT, ITEMS)
    assert layout.blade
    assert "blade-too-shallow" not in codes(layout)
    assert "blade-too-shallow" in codes(lay_out(HILT, ITEMS, layout.blade.depth.mm + 1))


def with_deep_switch(starts: float | None = None, cell_mm: float = 65.5) -> tuple[Item, ...]:
    """A grip with a switch that reaches down to the cell below it."""
    switch = replace(SWITCH, section=3, height_mm=16)
    cell = replace(CELL, length_mm=cell_mm, starts_mm=starts)
    return (CONNECTOR, switch, cell)


LONE = (EMITTER, NECK, replace(GRIP, openings=(Opening("switch", Size(12), Size(10)),)), POMMEL)


def test_a_part_begins_where_it_is_said_to() -> None:
    layout = lay_out(LONE, with_deep_switch(17))
    cell = next(thing for thing in layout.things if thing.item.kind == "cell")
    assert cell.x0 == 52 + 46 + 17
    assert "wall-part-meets" not in codes(layout)


def test_room_in_front_of_such_a_part_is_not_room_for_others() -> None:
    plain, later = lay_out(LONE, with_deep_switch()), lay_out(LONE, with_deep_switch(100))
    assert plain.slack
    assert later.slack
    # The sections end 254 mm behind the front; the cell begins at 198 mm and is 65.5 mm long.
    assert later.slack.nominal == pytest.approx(254 - 198 - 65.5)
    assert "too-long" in codes(later)


def test_what_meets_is_put_behind_by_whole_millimetres() -> None:
    items = with_deep_switch()
    layout = lay_out(LONE, items)
    assert "wall-part-meets" in codes(layout)
    move = moves_of(layout, LONE, items, LEAST_DEPTH_MM)
    assert [(each.item.kind, each.starts_mm) for each in move] == [("cell", 17.0)]


def test_nothing_is_put_behind_where_that_makes_it_too_long() -> None:
    items = with_deep_switch(cell_mm=150)
    layout = lay_out(LONE, items)
    assert "wall-part-meets" in codes(layout)
    assert not moves_of(layout, LONE, items, LEAST_DEPTH_MM)
