"""Figures as people type them and read them."""

import pytest

from shop.stores.specs import Quantity, Unit
from shop.stores.units import figure_shown, quantity_shown, typed_figure


def quantity(unit: Unit) -> Quantity:
    return Quantity("figure", "figure", unit, choices=(("yes", "yes"),))


@pytest.mark.parametrize(
    ("unit", "text", "kept"),
    [
        (Unit.MA, "15 A", 15_000), (Unit.MA, "15000 mA", 15_000), (Unit.MA, "0.8a", 800),
        (Unit.MA, "1,5 A", 1500), (Unit.MA, "15\u202fA", 15_000), (Unit.MV, "3.7", 3700),
        (Unit.MV, "3.7 V", 3700), (Unit.MV, "3700 mV", 3700), (Unit.MAH, "3000", 3000),
        (Unit.MAH, "3.5 Ah", 3500), (Unit.MW, "3 W", 3000), (Unit.MW, "500mW", 500),
        (Unit.OHM, "8", 8), (Unit.OHM, "4 ohm", 4), (Unit.OHM, "4 Ω", 4), (Unit.G, "45 g", 45),
        (Unit.AWG, "22", 22), (Unit.AWG, "22 AWG", 22), (Unit.AWG, "0", 0), (Unit.AWG, "00", -1),
        (Unit.AWG, "0000", -3), (Unit.AWG, "4/0", -3), (Unit.PER_M, "144", 144),
        (Unit.COUNT, "264", 264), (Unit.PER_CENT, "80 %", 80),
        (Unit.TEXT, " M4  × 0.7", "M4 × 0.7"),
        (Unit.MM, "18,6", 18.6), (Unit.MM, "7/8 in", 22.225),
    ],
)  # fmt: skip
def test_a_figure_is_kept_in_its_own_unit(unit: Unit, text: str, kept: object) -> None:
    assert typed_figure(quantity(unit), text) == kept


def test_a_bare_length_is_in_the_shops_unit() -> None:
    assert typed_figure(quantity(Unit.MM), "1.5", "in") == pytest.approx(38.1)


@pytest.mark.parametrize(
    ("unit", "text", "why"),
    [
        (Unit.MA, "15", "Say the unit too, such as 15 A or 800 mA."),
        (Unit.MA, "1,500 mA", "Leave the comma out of thousands."),
        (Unit.MA, "15 V", "Type a number such as 15 A or 800 mA."),
        (Unit.MA, "-1 A", "Type a number such as 15 A or 800 mA."),
        (Unit.MW, "3", "Say the unit too, such as 3 W or 500 mW."),
        (Unit.COUNT, "1.5", "Type a whole number."),
        (Unit.COUNT, "many", "Type a number such as 2."),
        (Unit.MM, "wide", "Type a length such as 26.2 mm or 7/8 in."),
        (Unit.AWG, "5/0", "Type a number such as 22 AWG."),
    ],
)
def test_what_is_no_figure_is_refused_in_words(unit: Unit, text: str, why: str) -> None:
    with pytest.raises(ValueError, match=f"^{why}$"):
        typed_figure(quantity(unit), text)


@pytest.mark.parametrize(
    ("unit", "value", "shown"),
    [
        (Unit.MA, 800, "800_mA"), (Unit.MA, 999.5, "999.5_mA"), (Unit.MA, 1000, "1_A"),
        (Unit.MA, 15_000, "15_A"), (Unit.MA, 0.6, "0.6_mA"), (Unit.MW, 500, "500_mW"),
        (Unit.MW, 3000, "3_W"), (Unit.MV, 3700, "3.7_V"), (Unit.MAH, 3000.0, "3000_mAh"),
        (Unit.OHM, 8.0, "8_Ω"), (Unit.AWG, 22, "22_AWG"), (Unit.AWG, -3, "4/0_AWG"),
        (Unit.PER_M, 144, "144 a metre"), (Unit.COUNT, 264.0, "264"), (Unit.MM, 18.6, "18.6_mm"),
        (Unit.CHOICE, "yes", "yes"), (Unit.TEXT, "M4", "M4"), (Unit.G, 45.5, "45.5_g"),
    ],
)  # fmt: skip
def test_a_figure_is_shown_as_people_think_of_it(unit: Unit, value: object, shown: str) -> None:
    assert figure_shown(quantity(unit), value) == shown.replace("_", "\u202f")


def test_a_length_is_shown_in_the_shops_unit() -> None:
    assert figure_shown(quantity(Unit.MM), 25.4, "in") == "1.000\u202fin"


@pytest.mark.parametrize(
    ("quantity", "counted", "shown"),
    [(3, "piece", "3"), (800, "mm", "800_mm"), (12_400, "mm", "12.4_m"), (0, "mm", "0_mm"),
     (-12_400, "mm", "-12.4_m"), (10_000, "mm", "10_m")],
)  # fmt: skip
def test_stock_is_shown_in_pieces_or_by_length(quantity: int, counted: str, shown: str) -> None:
    assert quantity_shown(quantity, counted) == shown.replace("_", "\u202f")
