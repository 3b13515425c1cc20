"""Pasted tracking numbers: which parcel a line means, and a sentence where it means none."""

import pytest

from builds.dispatch.pasted import Known, folded, number_names, read, tray_names


def known(parcel: int, number: int, *names: str, tray: int = 0, tracking: str = "") -> Known:
    all_names = {folded(name) for name in names} | number_names(number)
    trays = tray_names(tray) if tray else set()
    return Known(parcel, f"{number:04d}", frozenset(all_names | trays), tracking)


WREN = known(1, 142, "Wren Aldous", "Wren", "Aldous", "Aldous Wren", "2026-031", "Hazel 3", tray=7)
ASH = known(2, 143, "Ash Aldous", "Ash", "Aldous", "Aldous Ash", "2026-032", "Copperfen", tray=12)
SENT = known(3, 99, "Ines", "2026-002", tracking="AB 1234 5678 9GB")
ALL = [WREN, ASH, SENT]
NUMBER = "AB123456789GB"


@pytest.mark.parametrize(
    ("line", "parcel", "tracking"),
    [
        (f"142 {NUMBER}", 1, NUMBER),
        (f"0142\t{NUMBER}", 1, NUMBER),
        (f"#0142, {NUMBER}", 1, NUMBER),
        (f"{NUMBER};0142", 1, NUMBER),
        (f"Wren Aldous {NUMBER}", 1, NUMBER),
        (f"WREN,{NUMBER}", 1, NUMBER),
        (f"Aldous, Wren; {NUMBER}", 1, NUMBER),
        (f"tray 7 {NUMBER}", 1, NUMBER),
        (f"T07: {NUMBER}", 1, NUMBER),
        (f"2026-031\t{NUMBER}", 1, NUMBER),
        (f"Copperfen {NUMBER}", 2, NUMBER),
        (f"Hazel 3 {NUMBER}", 1, NUMBER),
        ("0143 AB 1234 5678 9GB", 2, "AB 1234 5678 9GB"),
        ("Ash 1234 5678 9012", 2, "1234 5678 9012"),
        (f"2026-032, Ash Aldous, 7 Mill Row, Northwick, {NUMBER}, 1.2 kg", 2, NUMBER),
        ("143 FP-0017-99", 2, "FP-0017-99"),
    ],
)
def test_line_names_its_parcel_and_its_number(line: str, parcel: int, tracking: str) -> None:
    (found,) = read(line, ALL)
    assert (found.parcel, found.tracking, found.why) == (parcel, tracking, "")


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("Order\tTracking", "names a parcel"),
        (NUMBER, "names a parcel"),
        (f"Nobody {NUMBER}", "names a parcel"),
        (f"Aldous {NUMBER}", "could be 0142 or 0143"),
        (f"0142 Ash Aldous {NUMBER}", "could be 0142 or 0143"),
        ("0142", "no tracking number"),
        ("0142 by van", "no tracking number"),
        (f"0142 {NUMBER} ZZ987654321GB", "more than one"),
        ("0142 2026-099", "no tracking number"),
        (f"0142 {'9' * 61}", "60 signs at most"),
        (f"Ines {NUMBER}", "Kept already"),
        ("Ines ZZ987654321GB", "another number already"),
    ],
)
def test_line_that_means_nothing_says_why(line: str, why: str) -> None:
    (found,) = read(line, ALL)
    assert found.parcel == 0
    assert found.text == line.strip()
    assert why in found.why


def test_no_line_is_lost_or_moved() -> None:
    text = f"first\n\n  142 {NUMBER}  \nlast\n"
    assert [line.text for line in read(text, ALL)] == ["first", f"142 {NUMBER}", "last"]


def test_parcel_gets_one_number() -> None:
    first, second = read(f"142 {NUMBER}\nWren ZZ987654321GB", ALL)
    assert first.parcel == 1
    assert "A line above gives 0142 its number" in second.why


def test_number_goes_to_one_parcel() -> None:
    _first, second = read("142 AB 1234 5678 9GB\n143 AB123456789GB", [WREN, ASH])
    assert "another parcel" in second.why
