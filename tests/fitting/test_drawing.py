"""The drawing's own numbers: those of the layout, once each, and within the sheet."""

from dataclasses import replace
from itertools import pairwise

import pytest

from builds.engineering.fit import shown_bore_mm, shown_clearance_mm
from builds.fitting import drawing
from builds.fitting.drawing import Sheet, Stroke, Words
from builds.fitting.drawing.pen import wide
from builds.fitting.layout import Layout, Size, Stretch, lay_out
from tests.fitting.fits import EMITTER, GRIP, HILT, ITEMS, laid


def numbers(sheet: Sheet) -> dict[str, str]:
    return {mark.of: mark.text for mark in sheet.marks if isinstance(mark, Words) and mark.of}


def sheets(layout: Layout) -> list[Sheet]:
    across = [drawing.across(layout, cut, cut.letter) for cut in layout.shown_cuts]
    return [each for each in (drawing.lengthwise(layout), drawing.upright(layout)) if each] + across


@pytest.mark.parametrize("draw", [drawing.lengthwise, drawing.upright])
def test_lengths_and_bores_stand_in_it(draw) -> None:  # type: ignore[no-untyped-def]
    sheet = draw(laid())
    said = numbers(sheet)
    assert said["bore:3"] == "bore 26.01"
    assert said["whole"] == "254.0 ± 0.6"
    assert said["engaged"].startswith("34.0")
    assert (said["part:4"], said["part:5"], said["part:6"]) == ("65.5", "40.0", "10.0")
    assert said["gap:1"].startswith("56.0")
    assert said["clearance:3"] == "0.15 over"


def test_sections_are_dimensioned_one_behind_the_other() -> None:
    sheet = drawing.lengthwise(laid())
    assert sheet
    assert [numbers(sheet)[f"length:{key}"] for key in (1, 2, 3, 4)] == [
        "52.0", "46.0", "112.0", "44.0",
    ]  # fmt: skip


def test_a_section_across_dimensions_bore_least_bore_and_clearance() -> None:
    layout = laid()
    cut = layout.shown_cuts[1]
    said = numbers(drawing.across(layout, cut, "b"))
    assert said == {
        "bore:3": "⌀26.01 bore", "least:3": "⌀26.16 needed", "clearance:3": "0.15 over",
    }  # fmt: skip
    assert str(shown_bore_mm(cut.combo.least_mm)) == "26.16"
    assert str(shown_clearance_mm(cut.clearance_mm)) == "-0.15"


def test_what_does_not_fit_is_hatched_and_nothing_else_is() -> None:
    def hatched(layout: Layout) -> int:
        return sum(
            isinstance(mark, Stroke) and mark.fill == "url(#hatch-stop)"
            for sheet in sheets(layout)
            for mark in sheet.marks
        )

    assert hatched(laid()) == 3  # lying, upright, across
    assert hatched(lay_out([*HILT[:2], replace(GRIP, bore=Size(27)), HILT[3]], ITEMS)) == 0


def test_neighbours_are_hatched_to_different_sides() -> None:
    sheet = drawing.lengthwise(laid())
    assert sheet
    hatches = [mark.fill for mark in sheet.marks if isinstance(mark, Stroke) and mark.fill]
    assert {"url(#hatch-a)", "url(#hatch-b)"} <= set(hatches)


def test_an_estimated_wall_is_dotted_and_said() -> None:
    sheet = drawing.lengthwise(laid())
    assert sheet
    assert any(isinstance(mark, Stroke) and "f-guess" in mark.look for mark in sheet.marks)
    assert any(isinstance(mark, Words) and mark.text == "wall estimated" for mark in sheet.marks)


def test_a_told_bore_looks_different_and_says_so() -> None:
    hilt = [EMITTER, replace(GRIP, bore=Size(26, "told"))]
    sheet = drawing.lengthwise(lay_out(hilt, []))
    assert sheet
    mark = next(mark for mark in sheet.marks if isinstance(mark, Words) and mark.of == "bore:3")
    assert mark.text == "bore 26.0 told"
    assert "f-unsure" in mark.look


def test_words_come_last_so_that_no_line_runs_over_them() -> None:
    for sheet in sheets(laid()):
        kinds = [isinstance(mark, Words) for mark in sheet.marks]
        assert kinds == sorted(kinds)


@pytest.mark.parametrize("count", [1, 2, 5, 12, 30])
def test_words_stay_on_the_sheet(count: int) -> None:
    hilt = [
        Stretch(key, f"section {key}", Size(300 / count), Size(25), Size(32))
        for key in range(1, count + 1)
    ]
    for sheet in sheets(lay_out(hilt, ITEMS)):
        for mark in sheet.marks:
            if isinstance(mark, Words):
                assert 0 <= float(mark.x) <= float(sheet.width), (sheet.name, mark)
                assert 0 <= float(mark.y) <= float(sheet.height), (sheet.name, mark)


def test_a_hilt_of_which_nothing_is_known_is_not_drawn() -> None:
    assert drawing.lengthwise(lay_out([], ITEMS)) is None


def test_the_scale_on_paper_is_one_of_the_usual_ones_and_fits_the_sheet() -> None:
    sheet = drawing.lengthwise(laid())
    assert sheet
    assert sheet.scale in {"1:1", "1:1.25", "1:1.5", "1:2"}
    assert float(sheet.paper_width.removesuffix("mm")) <= 250


def test_nothing_in_it_is_styled_in_place() -> None:
    for sheet in sheets(laid()):
        for mark in sheet.marks:
            assert mark.look


def test_headings_of_many_short_sections_stand_clear_of_each_other() -> None:
    many = [Stretch(key, f"section {key}", Size(8), Size(25), Size(38)) for key in range(1, 31)]
    sheet = drawing.lengthwise(lay_out(many, ()))
    assert sheet
    heads = [mark for mark in sheet.marks if isinstance(mark, Words) and mark.look == "f-name"]
    rows: dict[str, list[float]] = {}
    for head in heads:
        rows.setdefault(head.y, []).append(float(head.x))
    assert len(heads) == 30
    for row in rows.values():
        assert all(right - left > wide("section 30", 16) for left, right in pairwise(row))


def test_words_beside_a_section_end_on_its_sheet() -> None:
    for cut in laid().shown_cuts:
        sheet = drawing.across(laid(), cut, "cut")
        for mark in (each for each in sheet.marks if isinstance(each, Words)):
            if mark.anchor == "start":
                width = wide(mark.text, mono="f-num" in mark.look)
                assert float(mark.x) + width <= float(sheet.width)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_numbers_beside_the_upright_hilt_end_on_its_sheet(unit: str) -> None:
    with drawing.lengths_in(unit):
        sheet = drawing.upright(laid())
    assert sheet
    for mark in (each for each in sheet.marks if isinstance(each, Words) and each.of):
        if mark.anchor == "start":
            assert float(mark.x) + wide(mark.text.split()[0], mono=True) <= float(sheet.width)
