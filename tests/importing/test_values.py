"""Cells as the rooms want them: what is taken, and the sentence for what is not."""

from datetime import date
from typing import Any

import pytest

from builds.importing import values
from builds.importing.columns import guess, simple, unit_in
from shop.stores.specs import SPECS, Quantity


def quantity(kind: str, name: str) -> Quantity:
    return next(each for each in SPECS[kind] if each.name == name)


@pytest.mark.parametrize(
    ("text", "decimals", "minor"),
    [
        ("1,234.50", "point", 123_450), ("1.234,50", "comma", 123_450), ("£12", "point", 1_200),
        ("GBP 12.5", "point", 1_250), (12.5, "comma", 1_250), (0.1 + 0.2, "point", 30),
        ("1 234,5", "comma", 123_450), ("1'234.50", "point", 123_450), (0, "point", 0),
    ],
)  # fmt: skip
def test_sums(text: Any, decimals: str, minor: int) -> None:
    assert values.money(text, decimals, "GBP") == minor


@pytest.mark.parametrize(
    ("text", "decimals", "currency", "why"),
    [
        ("1.234,50", "point", "GBP", "written as in 1.234,50"),
        ("1,234.50", "comma", "GBP", "written as in 1,234.50"),
        ("12a", "point", "GBP", "letters in this number"), ("12.505", "point", "GBP", "decimals"),
        ("12.50", "point", "JPY", "JPY has 0"), ("€ 12", "point", "GBP", "another currency"),
        (-3, "point", "GBP", "below zero"), ("12,34,56", "point", "GBP", "no number"),
        (True, "point", "GBP", "no number"), (date(2026, 1, 2), "point", "GBP", "no number"),
    ],
)  # fmt: skip
def test_what_is_no_sum_says_why(text: Any, decimals: str, currency: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        values.money(text, decimals, currency)


@pytest.mark.parametrize(
    ("text", "order"),
    [("2026-12-04", "mdy"), ("4/12/2026", "dmy"), ("12/4/2026", "mdy"), ("4.12.2026", "dmy"),
     (date(2026, 12, 4), "mdy"), ("2026-12-04 00:00:00", "dmy")],
)  # fmt: skip
def test_days(text: Any, order: str) -> None:
    assert values.day(text, order) == date(2026, 12, 4)


@pytest.mark.parametrize(
    ("text", "order", "why"),
    [("14/12/2026", "mdy", "Is the day first"), ("12/14/2026", "dmy", "Is the month first"),
     ("14/12/26", "dmy", "four digits"), (46_000, "dmy", "not a day"), ("soon", "dmy", "no day"),
     ("2026-02-30", "dmy", "no such day")],
)  # fmt: skip
def test_what_is_no_day_says_why(text: Any, order: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        values.day(text, order)


@pytest.mark.parametrize(
    ("text", "kind", "name", "header", "unit", "decimals", "kept"),
    [
        (28, "speaker", "diameter_mm", "", "mm", "point", 28.0),
        ("1.1", "speaker", "diameter_mm", "", "in", "point", 27.94),
        (1.1, "speaker", "diameter_mm", "mm", "in", "point", 1.1),
        ("7/8 in", "speaker", "diameter_mm", "", "mm", "point", 22.225),
        ("28,5 mm", "speaker", "diameter_mm", "", "mm", "comma", 28.5),
        ("15 A", "cell", "max_current_ma", "", "mm", "point", 15_000.0),
        (15, "cell", "max_current_ma", "A", "mm", "point", 15_000.0),
        ("3,000", "cell", "capacity_mah", "", "mm", "point", 3_000.0),
        ("3.000 mAh", "cell", "capacity_mah", "", "mm", "comma", 3_000.0),
        ("2/0", "wire", "gauge", "", "mm", "point", -1.0),
        ("Yes", "cell", "protected", "", "mm", "point", "yes"),
        (True, "cell", "protected", "", "mm", "point", "yes"),
        ("Lithium ion", "cell", "chemistry", "", "mm", "point", "ion"),
        ("M4 × 0.7", "screw", "thread", "", "mm", "point", "M4 × 0.7"),
    ],
)  # fmt: skip
def test_figures(
    text: Any, kind: str, name: str, header: str, unit: str, decimals: str, kept: Any
) -> None:
    given: dict[str, Any] = {"decimals": decimals, "length_unit": unit, "header_unit": header}
    found = values.figure(text, quantity(kind, name), **given)
    assert found == (pytest.approx(kept) if isinstance(kept, float) else kept)


@pytest.mark.parametrize(
    ("text", "kind", "name", "why"),
    [
        (15, "cell", "max_current_ma", "Say the unit too"),
        (9_999, "speaker", "diameter_mm", "from 0 to 60"),
        (-4, "speaker", "diameter_mm", "below zero"), ("wide", "speaker", "diameter_mm", "length"),
        ("alkaline", "cell", "chemistry", "none of"), (2.5, "board", "switches", "whole number"),
        ("s" * 61, "screw", "thread", "60 letters"),
    ],
)  # fmt: skip
def test_what_is_no_figure_says_why(text: Any, kind: str, name: str, why: str) -> None:
    given: dict[str, Any] = {"decimals": "point", "length_unit": "mm", "header_unit": ""}
    with pytest.raises(ValueError, match=why):
        values.figure(text, quantity(kind, name), **given)


def test_headings_are_known_by_other_words_and_never_twice() -> None:
    headers = ["Client", "E-Mail Address", "Tel.", "email", "ZIP", "Farbe"]
    assert guess("customers", headers) == {
        "full_name": 0, "email": 3, "phone": 2, "postcode": 4
    }  # fmt: skip
    assert simple("Max. Current (mA)") == "max current"
    assert unit_in("Max. Current (mA)") == "mA"
    assert unit_in("Length [in]") == "in"
    assert unit_in("Name (first)") == ""
