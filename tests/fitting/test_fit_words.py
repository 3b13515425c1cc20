"""Findings, what is missing and the sums, in sentences."""

from dataclasses import replace

from builds.fitting.fit_words import Said, missing, sentence, sums
from builds.fitting.layout import Lack, Layout, Size, lay_out
from tests.fitting.fits import CELL, CONNECTOR, EMITTER, GRIP, HILT, ITEMS, NECK, POMMEL, laid


def said(layout: Layout) -> list[Said]:
    return [sentence(found) for found in layout.findings]


def test_a_board_too_much_says_by_how_much_and_what_it_needs() -> None:
    first = said(laid())[0]
    assert first.head == "Sound board over cell is 0.15\u202fmm too much for the grip."
    assert "26.16\u202fmm" in first.rest
    assert "26.01\u202fmm" in first.rest


def test_a_hair_too_much_never_reads_as_nothing() -> None:
    grip = replace(GRIP, bore=Size(26.151))
    first = said(lay_out((EMITTER, NECK, grip, POMMEL), ITEMS))[0]
    assert "0.01\u202fmm too much" in first.head


def test_clocking_names_the_angle_and_the_shim() -> None:
    turned = next(each for each in said(laid()) if each.code == "clocked")
    assert turned.head == "The switch hole of the neck sits 28° past its place when tight."
    assert turned.rest == "A 0.1\u00a0mm shim on the 20-per-inch thread brings it home."


def test_a_metric_thread_is_named_by_its_pitch() -> None:
    hilt = (replace(EMITTER, pitch=Size(1.25)), NECK, GRIP, POMMEL)
    turned = next(each for each in said(lay_out(hilt, [])) if each.code == "clocked")
    assert "1.25\u00a0mm pitch" in turned.rest


def test_every_finding_leads_to_a_sum_of_the_page() -> None:
    layout = laid()
    names = {each.name for each in sums(layout)}
    assert {each.sum for each in said(layout)} <= names


def test_parts_too_long_say_all_three_numbers() -> None:
    cells = [replace(CELL, key=key, position=key) for key in range(10, 14)]
    long = next(each for each in said(lay_out(HILT, cells)) if each.code == "too-long")
    assert long.head == "The parts are 42.0\u202fmm longer than the room in the hilt."
    assert "\u221242.6" in long.rest


def test_what_reaches_into_a_neighbour_is_said_of_the_neighbour() -> None:
    found = said(lay_out(HILT, [replace(CONNECTOR, length_mm=30, diameter_mm=24)]))
    reach = next(each for each in found if each.code == "reaches-too-narrow")
    assert reach.head.startswith("Connector reaches into the neck, which is 1.4")


def test_what_is_missing_says_where_it_is_met() -> None:
    assert missing(Lack("no-bore", "grip")).where == "hilt"
    assert missing(Lack("no-cell")).where == "parts"
    assert missing(Lack("not-placed", "cell")).where == "here"
    assert not missing(Lack("no-socket-depth", "emitter")).blocks


def test_a_sum_shows_formula_inputs_and_source() -> None:
    across = next(each for each in sums(laid()) if each.name == "sum-B")
    assert "w²/4a" in across.formula
    assert across.source
    assert [each.value for each in across.inputs] == [
        "18.5\u202fmm", "20.0\u202fmm × 3.0\u202fmm", "26.01\u202fmm",
    ]  # fmt: skip
