"""What no sum accepts, and that each refusal is a sentence for a bench hand."""

import inspect
from collections.abc import Callable
from math import inf, nan

import pytest

from builds.engineering import cells, clocking, led, pixels, power, speaker, threads, wire
from builds.engineering.cells import Body, Chemistry, System

NO_NUMBERS = (-1, nan, inf, -inf)
NO_SIZES = (0, *NO_NUMBERS)
COBALT = Chemistry.COBALT
TABLE = wire.Table("own", "a table of one", "invented", {22: 3.0})
Deed = Callable[..., object]

# Each function with one argument left open, and what must not stand there.
OPEN: list[tuple[Deed, Deed, tuple[object, ...]]] = [
    (wire.gauge_number, wire.gauge_number, (-4, 57, 22.5, nan, True, "", "00000", "5/0", "22.5",
     "-1", "thin", "²", "AWG")),
    (wire.awg_diameter_mm, wire.awg_diameter_mm, (-4, 57, "x")),
    (wire.awg_area_mm2, wire.awg_area_mm2, (-4, 57, "x")),
    (wire.circular_mils, wire.circular_mils, (-4, 57, "x")),
    (wire.resistance_per_m_ohm, wire.resistance_per_m_ohm, (-4, 57, "x")),
    (wire.resistance_per_m_ohm, lambda x: wire.resistance_per_m_ohm(22, x), (-61, 201, nan, inf)),
    (wire.resistance_ohm, lambda x: wire.resistance_ohm(22, x), NO_NUMBERS),
    (wire.resistance_ohm, lambda x: wire.resistance_ohm(22, 1, x), (-300, 1000, nan, inf)),
    (wire.out_and_back_v, lambda x: wire.out_and_back_v(x, 1, 1), NO_SIZES),
    (wire.out_and_back_v, lambda x: wire.out_and_back_v(1, x, 1), NO_NUMBERS),
    (wire.out_and_back_v, lambda x: wire.out_and_back_v(1, 1, x), NO_NUMBERS),
    (wire.voltage_drop_v, lambda x: wire.voltage_drop_v(x, 1, 1), (-4, 57, "x")),
    (wire.voltage_drop_v, lambda x: wire.voltage_drop_v(22, x, 1), NO_NUMBERS),
    (wire.voltage_drop_v, lambda x: wire.voltage_drop_v(22, 1, x), NO_NUMBERS),
    (wire.voltage_drop_v, lambda x: wire.voltage_drop_v(22, 1, 1, x), (-300, 1000, nan, inf)),
    (wire.knows, lambda x: wire.knows(wire.MACHINE, x), (-4, 57, "x")),
    (wire.allowed, wire.allowed, (-4, 31, 57, "32", "x")),
    (wire.current_limit_a, wire.current_limit_a, (-4, 31, 57, "32", "x")),
    (wire.current_limit_a, lambda x: wire.current_limit_a(x, wire.CHASSIS), (31, 40)),
    (wire.current_limit_a, lambda x: wire.current_limit_a(x, TABLE), (23, 24, 30)),
    (led.preferred_up, led.preferred_up, NO_SIZES),
    (led.preferred_up, lambda x: led.preferred_up(10, x), ("E25", "e24", "", "24")),
    (led.series_resistor, lambda x: led.series_resistor(x, 2, 0.02), (*NO_SIZES, 1.9, 2.0)),
    (led.series_resistor, lambda x: led.series_resistor(5, x, 0.02), (*NO_SIZES, 5, 6)),
    (led.series_resistor, lambda x: led.series_resistor(5, 2, x), NO_SIZES),
    (led.series_resistor, lambda x: led.series_resistor(5, 2, 0.02, x), ("E25", "")),
    (led.series_resistor, lambda x: led.series_resistor(5, 2, 0.02, in_series=x),
     (*NO_SIZES, 1.5, 3)),
    (led.series_resistor, lambda x: led.series_resistor(3.7, 2, 0.02, full_v=x),
     (*NO_SIZES, 3.6)),
    (led.rating_w, led.rating_w, NO_SIZES),
    (led.derated_fraction, led.derated_fraction, (-56, -300, nan, inf, -inf)),
    (led.greatest_v, lambda x: led.greatest_v(x, 100), NO_SIZES),
    (led.greatest_v, lambda x: led.greatest_v(1, x), NO_SIZES),
    (led.greatest_v, lambda x: led.greatest_v(1, 100, x), (*NO_SIZES, 1.1)),
    (pixels.strip_current_a, lambda x: pixels.strip_current_a(x, "#ffffff", 12),
     (*NO_NUMBERS, 1.5)),
    (pixels.strip_current_a, lambda x: pixels.strip_current_a(1, x, 12),
     ("", "red", "#fff", "ffffff", "#gggggg", "#ffffff0", "#ffffff\n")),
    (pixels.strip_current_a, lambda x: pixels.strip_current_a(1, "#ffffff", x), NO_NUMBERS),
    (pixels.strip_current_a, lambda x: pixels.strip_current_a(1, "#ffffff", 12, x), NO_NUMBERS),
    (pixels.strip_current_a, lambda x: pixels.strip_current_a(1, "#ffffff", 12, 0, x),
     (*NO_NUMBERS, 1.01, 80)),
    (pixels.light, pixels.light, ("", "white", "#12345", "#12345é")),
    (pixels.refresh_time_s, pixels.refresh_time_s, (*NO_NUMBERS, 0.5)),
    (pixels.refresh_time_s, lambda x: pixels.refresh_time_s(1, x), NO_NUMBERS),
    (pixels.refresh_time_s, lambda x: pixels.refresh_time_s(1, bits=x), (*NO_SIZES, 23.5)),
    (pixels.refresh_time_s, lambda x: pixels.refresh_time_s(1, bit_s=x), NO_SIZES),
    (pixels.count, lambda x: pixels.count(x, 144), NO_NUMBERS),
    (pixels.count, lambda x: pixels.count(1, x), NO_SIZES),
    (pixels.pixel_power_w, lambda x: pixels.pixel_power_w(x, 5), NO_NUMBERS),
    (pixels.pixel_power_w, lambda x: pixels.pixel_power_w(60, x), NO_SIZES),
    (cells.decode, cells.decode, ("", "AA", "1865", "186500", "103450", "ICR", "ICR19", "IXR19/66",
     "ICR0/66", "ICR19/0", "00650", "0ICR19/66", "ICR19/66-0", "ICR19/66-", "ICP10/34", "-19/66",
     "ICR19/66/3", "icr19/66x", "１８６５０")),
    (cells.encode, lambda x: cells.encode(x, 66), NO_SIZES),
    (cells.encode, lambda x: cells.encode(19, x), NO_SIZES),
    (cells.encode, lambda x: cells.encode(19, 66, x), ("lead", "C")),
    (cells.encode, lambda x: cells.encode(19, 66, COBALT, x), (*NO_SIZES, 1.5)),
    (cells.encode, lambda x: cells.encode(19, 66, COBALT, 1, x), (*NO_SIZES, 1.5)),
    (cells.encode, lambda x: cells.encode(19, 66, COBALT, 1, 1, x), ("acid",)),
    (cells.encode_prismatic, lambda x: cells.encode_prismatic(x, 34, 50, COBALT), NO_SIZES),
    (cells.encode_prismatic, lambda x: cells.encode_prismatic(10, x, 50, COBALT), NO_SIZES),
    (cells.encode_prismatic, lambda x: cells.encode_prismatic(10, 34, x, COBALT), NO_SIZES),
    (cells.encode_prismatic, lambda x: cells.encode_prismatic(10, 34, 50, x), ("lead",)),
    (cells.envelope, cells.envelope, ("", "26650", "18650 ")),
    (cells.envelope, lambda x: cells.envelope("21700", x), (Body.PROTECTED,)),
    (cells.energy_wh, lambda x: cells.energy_wh(x, 3000), (*NO_SIZES, 3.7)),
    (cells.energy_wh, lambda x: cells.energy_wh(3600, x), (*NO_SIZES, 3000.5)),
    (cells.rate_ma, lambda x: cells.rate_ma(x, 1), NO_SIZES),
    (cells.rate_ma, lambda x: cells.rate_ma(2500, x), NO_NUMBERS),
    (cells.runtime_h, lambda x: cells.runtime_h(x, 100), NO_SIZES),
    (cells.runtime_h, lambda x: cells.runtime_h(2500, x), NO_NUMBERS),
    (cells.runtime_h, lambda x: cells.runtime_h(2500, 100, x), (*NO_NUMBERS, 1.1)),
    (cells.idle_days, lambda x: cells.idle_days(x, 1), NO_SIZES),
    (cells.idle_days, lambda x: cells.idle_days(2500, x), NO_NUMBERS),
    (cells.idle_days, lambda x: cells.idle_days(2500, 1, x), (*NO_NUMBERS, 2)),
    (speaker.power_w, lambda x: speaker.power_w(x, 4), NO_NUMBERS),
    (speaker.power_w, lambda x: speaker.power_w(1, x), NO_SIZES),
    (speaker.sine_limit_w, lambda x: speaker.sine_limit_w(x, 4), NO_SIZES),
    (speaker.sine_limit_w, lambda x: speaker.sine_limit_w(5, x), NO_SIZES),
    (speaker.supply_current_a, lambda x: speaker.supply_current_a(x, 0.9, 5), NO_NUMBERS),
    (speaker.supply_current_a, lambda x: speaker.supply_current_a(1, x, 5), (*NO_SIZES, 1.1, 92)),
    (speaker.supply_current_a, lambda x: speaker.supply_current_a(1, 0.9, x), NO_SIZES),
    (threads.minor_mm, lambda x: threads.minor_mm(x, 0.5), (*NO_SIZES, 0.5)),
    (threads.minor_mm, lambda x: threads.minor_mm(3, x), (*NO_SIZES, 3, 32)),
    (threads.pitch_diameter_mm, lambda x: threads.pitch_diameter_mm(x, 0.5), NO_SIZES),
    (threads.pitch_diameter_mm, lambda x: threads.pitch_diameter_mm(3, x), (*NO_SIZES, 32)),
    (threads.tap_drill_mm, lambda x: threads.tap_drill_mm(x, 0.5), NO_SIZES),
    (threads.tap_drill_mm, lambda x: threads.tap_drill_mm(3, x), (*NO_SIZES, 32)),
    (threads.inch_thread, threads.inch_thread, ("", "8", "8-33", "M3", "7-32")),
    (clocking.advance_mm, lambda x: clocking.advance_mm(x, 90), NO_SIZES),
    (clocking.advance_mm, lambda x: clocking.advance_mm(0.5, x), NO_NUMBERS),
    (clocking.angle_deg, lambda x: clocking.angle_deg(x, 0.1), NO_SIZES),
    (clocking.angle_deg, lambda x: clocking.angle_deg(0.5, x), NO_NUMBERS),
    (clocking.shim_mm, lambda x: clocking.shim_mm(x, 0, 90), NO_SIZES),
    (clocking.shim_mm, lambda x: clocking.shim_mm(0.5, x, 90), (nan, inf)),
    (clocking.shim_mm, lambda x: clocking.shim_mm(0.5, 0, x), (nan, inf)),
]  # fmt: skip
ROWS = [
    pytest.param(call, bad, id=f"{deed.__module__.rsplit('.', 1)[1]}.{deed.__name__} {bad!r}")
    for deed, call, bads in OPEN
    for bad in bads
]


@pytest.mark.parametrize(("call", "bad"), ROWS)
def test_what_cannot_be_is_refused_in_a_sentence(call: Deed, bad: object) -> None:
    with pytest.raises(ValueError, match=r"(?s)^[“A-Z0-9].*[.?]$"):
        call(bad)


@pytest.mark.parametrize("module", [wire, led, pixels, cells, speaker, threads, clocking])
def test_every_public_function_has_its_refusals(module: object) -> None:
    public = {
        found
        for name, found in inspect.getmembers(module, inspect.isfunction)
        if found.__module__ == module.__name__ and not name.startswith("_")
    }
    assert public - {deed for deed, _, _ in OPEN} == set()


@pytest.mark.parametrize("module", [wire, led, pixels, cells, speaker, threads, clocking, power])
def test_every_public_function_names_its_source(module: object) -> None:
    for name, found in inspect.getmembers(module, inspect.isfunction):
        if found.__module__.startswith(module.__name__) and not name.startswith("_"):
            assert "ource" in (found.__doc__ or "") or "61960" in (found.__doc__ or ""), name


def test_a_metal_cell_is_named_too() -> None:
    assert cells.encode(15, 51, Chemistry.MANGANESE, system=System.METAL) == "LMR15/51"
