"""Numbers as the power page shows them, each rounded to the side that promises less.

Currents and drops go up, limits, what is left and times go down: what is shown never looks better
than what was reckoned.
"""

from dataclasses import dataclass
from math import ceil, floor, inf, isinf, log10

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from builds.engineering.power import Limit
from builds.fitting.drawing.reading import shown, unit, with_unit

THIN = "\u202f"
FINEST = 7  # places of an ampere
_NOISE = 6  # digits behind the last shown one that count as binary noise


def number(value: float, places: int) -> str:
    """A number in the reader's own way of writing it."""
    return number_format(round(value, places), decimal_pos=places)


def up(value: float, places: int) -> float:
    """Rounded up, binary noise forgiven."""
    step = 10.0**places
    return ceil(round(value * step, _NOISE)) / step


def down(value: float, places: int) -> float:
    """Rounded down, binary noise forgiven."""
    step = 10.0**places
    return floor(round(value * step, _NOISE)) / step


def current(ampere: float) -> str:
    """A current that flows: never shown as less than it is."""
    if ampere >= 1:
        return f"{number(up(ampere, 2), 2)}{THIN}A"
    places = 1 if 0 < ampere < 0.01 else 0
    return f"{number(up(ampere * 1000, places), places)}{THIN}mA"


def limit(ampere: float) -> str:
    """A current that is allowed: never shown as more than it is."""
    if ampere >= 1:
        return f"{number(down(ampere, 2), 2)}{THIN}A"
    return f"{number(down(ampere * 1000, 0), 0)}{THIN}mA"


def margin(held: Limit) -> str:
    """What is left to a limit, or how much is too much; nothing left is said to hold."""
    if held.ok:
        left = max(0.0, held.margin_a)
        shown = limit(left)
        return _("%(left)s left") % {"left": shown}
    return _("%(over)s too much") % {"over": passed(held.current_a, held.limit_a).over}


@dataclass(frozen=True)
class Passed:
    """A current that passes its limit, the limit, and what is too much, as they are shown."""

    current: str
    limit: str
    over: str


def passed(ampere: float, limit_a: float) -> Passed:
    """A broken limit, with as many digits as its own difference needs to be seen."""
    fine = min(FINEST, ceil(-log10(max(ampere - limit_a, 10.0**-FINEST))))
    places = [max(2 if value >= 1 else 3, fine) for value in (ampere, limit_a)]
    flows, bears = up(ampere, places[0]), down(limit_a, places[1])
    over = round(flows - bears, max(places))
    return Passed(_ampere(flows, places[0]), _ampere(bears, places[1]), _ampere(over, max(places)))


def _ampere(value: float, places: int) -> str:
    if value >= 1:
        return f"{number(value, places)}{THIN}A"
    return f"{number(value * 1000, max(0, places - 3))}{THIN}mA"


def volts(volt: float) -> str:
    """A voltage that is left: never shown as more than it is."""
    return f"{number(down(volt, 2), 2)}{THIN}V"


def drop(volt: float) -> str:
    """A voltage that is lost: never shown as less than it is."""
    if volt >= 1:
        return f"{number(up(volt, 2), 2)}{THIN}V"
    return f"{number(up(volt * 1000, 0), 0)}{THIN}mV"


def hours(hour: float) -> str:
    """How long it runs, in whole minutes."""
    if isinf(hour):
        return _("no end")
    minutes = int(down(hour * 60, 0))
    if minutes < 60:
        return f"{minutes}{THIN}min"
    whole, rest = divmod(minutes, 60)
    return f"{whole}{THIN}h {rest:02d}{THIN}min" if whole < 10 else f"{whole}{THIN}h"


def days(day: float) -> str:
    """How long it lies, in days; in hours where it is less than two."""
    if day == inf:
        return _("no end")
    if day < 2:
        return _("%(n)s hours") % {"n": number(down(day * 24, 0), 0)}
    return _("%(n)s days") % {"n": number(down(day, 0), 0)}


def length(metre: float) -> str:
    """A length of wire: in whole millimetres, or as inches are written."""
    millimetre = metre * 1000
    return with_unit(shown(millimetre) if unit() == "in" else number(millimetre, 0))


def ohms(ohm: float) -> str:
    """A resistance, to four figures."""
    if ohm >= 1000:
        return f"{_figures(ohm / 1000)}{THIN}kΩ"
    return f"{_figures(ohm)}{THIN}Ω"


def _figures(value: float) -> str:
    text = f"{value:.4g}"
    places = len(text.partition(".")[2])
    return number(float(text), places)


def watts(watt: float) -> str:
    """A power that is burnt: never shown as less than it is."""
    if watt >= 1:
        return f"{number(up(watt, 2), 2)}{THIN}W"
    return f"{number(up(watt * 1000, 0), 0)}{THIN}mW"


def rating(watt: float) -> str:
    """A rating of a part: ½ W as 0.5 W."""
    return f"{_figures(watt)}{THIN}W"


def plain(value: float, unit: str) -> str:
    """An input as it was written down, with its unit."""
    text = f"{value:.6g}"
    shown = number(float(text), len(text.partition(".")[2])) if "e" not in text else text
    return f"{shown}{THIN}{unit}" if unit else shown
