"""A single LED and its resistor: the value to take, what it burns, what it may burn."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor, log10, sqrt
from types import MappingProxyType

from builds.engineering.given import NOISE, counted, finite, fraction, positive

FULL_POWER_TO_C, NO_POWER_FROM_C = 70.0, 155.0  # metal film
COLDEST_C = -55.0  # where metal film resistors are specified from (from memory)
STANDARD_RATINGS_W = (0.125, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0)  # common practice, no source
HEADROOM = 2.0  # rating over dissipation: common practice, no source

# IEC 60063. E3 to E24 follow no power of ten and stand as its table has them.
_E24 = (
    100, 110, 120, 130, 150, 160, 180, 200, 220, 240, 270, 300,
    330, 360, 390, 430, 470, 510, 560, 620, 680, 750, 820, 910,
)  # fmt: skip


def _powers(steps: int) -> tuple[int, ...]:
    # E192 has 920 where the rule gives 919: the one exception in the table.
    values = (round(100 * 10 ** (step / steps)) for step in range(steps))
    return tuple(920 if value == 919 else value for value in values)


SERIES: Mapping[str, tuple[int, ...]] = MappingProxyType({
    "E3": _E24[::8], "E6": _E24[::4], "E12": _E24[::2], "E24": _E24,
    "E48": _powers(48), "E96": _powers(96), "E192": _powers(192),
})  # fmt: skip


@dataclass(frozen=True)
class Resistor:
    """The resistor to fit, and what it then does.

    ``exact_…`` at the exact value, plain names at the chosen one, ``full_…`` at the chosen one on
    a full cell, where that was given. ``rating_w`` is the part to take: None where none is large
    enough.
    """

    exact_ohm: float
    exact_dissipation_w: float
    chosen_ohm: float
    current_a: float
    dissipation_w: float
    full_current_a: float | None
    full_dissipation_w: float | None
    rating_w: float | None


def preferred_up(ohm: float, series: str = "E24") -> float:
    """The least preferred value that is not under the given one. Source: IEC 60063.

    :raises ValueError: where the series is unknown or the value no resistance.
    """
    wanted = positive(ohm, "The resistance in Ω") * (1 - NOISE)
    return next(value for value in _from(floor(log10(wanted)), series) if value >= wanted)


def _from(decade: int, series: str) -> Iterator[float]:
    if series not in SERIES:
        raise ValueError(f"There is no series {series!r}: choose one of {', '.join(SERIES)}.")
    for power in (decade - 1, decade, decade + 1):
        for step in SERIES[series]:
            yield float(f"{step}e{power - 2}")


def series_resistor(
    supply_v: float,
    forward_v: float,
    current_a: float,
    series: str = "E24",
    in_series: int = 1,
    full_v: float | None = None,
) -> Resistor:
    """The resistor for LEDs in a row: R = (Vs − n Vf) / I, the next preferred value up.

    Dissipation is (Vs − n Vf)² / R at the chosen value, and the same for a full cell, from which
    the part's rating is taken. Source: Ohm's law, as on Wikipedia, LED circuit; IEC 60063.

    :raises ValueError: where the supply does not lift the LEDs, or a number cannot be.
    """
    over_v = _left_over(supply_v, forward_v, in_series)
    wanted_a = positive(current_a, "The LED's current in A")
    chosen = preferred_up(over_v / wanted_a, series)
    full = None if full_v is None else _left_over(_full(supply_v, full_v), forward_v, in_series)
    burnt = over_v**2 / chosen
    burnt_full = None if full is None else full**2 / chosen
    return Resistor(
        exact_ohm=over_v / wanted_a,
        exact_dissipation_w=over_v * wanted_a,
        chosen_ohm=chosen,
        current_a=over_v / chosen,
        dissipation_w=burnt,
        full_current_a=None if full is None else full / chosen,
        full_dissipation_w=burnt_full,
        rating_w=rating_w(burnt if burnt_full is None else burnt_full),
    )


def _left_over(supply_v: float, forward_v: float, in_series: int) -> float:
    supply = positive(supply_v, "The supply voltage")
    forward = positive(forward_v, "The LED's forward voltage")
    row = counted(in_series, "LEDs in a row")
    if row * forward >= supply * (1 - NOISE):
        raise ValueError(
            f"A supply of {supply:g} V cannot light {row} × {forward:g} V:"
            " it must be higher than the LEDs together."
        )
    return supply - row * forward


def _full(supply_v: float, full_v: float) -> float:
    if finite(full_v, "The voltage of a full cell") < supply_v:
        raise ValueError(
            f"A full cell has {supply_v:g} V, the working voltage, or more; not {full_v:g} V."
        )
    return full_v


def rating_w(dissipation_w: float) -> float | None:
    """The least standard rating of at least twice what the part burns; None above the largest.

    Source: twice, and the row of ratings, are common practice, no source.
    """
    least = HEADROOM * positive(dissipation_w, "The dissipation in W") * (1 - NOISE)
    return next((rating for rating in STANDARD_RATINGS_W if rating >= least), None)


def derated_fraction(temperature_c: float) -> float:
    """The share of its rating that metal film bears: 1 to 70 °C, then in a line to 0 at 155 °C.

    Source: Chian Chia, metal-film specification; TT Electronics, definitions of terms.
    """
    if finite(temperature_c, "The temperature in °C") < COLDEST_C:
        raise ValueError(
            f"Metal film resistors are rated from {COLDEST_C:g} °C up, not at {temperature_c:g} °C."
        )
    share = (NO_POWER_FROM_C - temperature_c) / (NO_POWER_FROM_C - FULL_POWER_TO_C)
    return min(1.0, max(0.0, share))


def greatest_v(rating_w: float, ohm: float, share: float = 1.0) -> float:
    """The voltage at which a resistor burns a share of its rating: V = √(share × P × R).

    Source: Vishay, RCM tutorial (35 % of 1 W in 10 kΩ is 59.16 V).
    """
    borne = fraction(positive(share, "The share of the rating"), "The share of the rating")
    power = positive(rating_w, "The rating in W") * borne
    return sqrt(power * positive(ohm, "The resistance in Ω"))
