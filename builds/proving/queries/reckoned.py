"""Limits that follow from a build's own figures, each with its sum in words."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import floor, fsum, log10

from django.utils.translation import gettext as _

from builds.engineering.pixels import strip_current_a
from builds.proving.models import SheetLine
from builds.proving.queries.contents import Contents
from builds.proving.states import Mark
from builds.proving.values import number

SHARE = 0.8  # of the cell's rating: a rule for power supplies; common practice, no source
_TOLD_OF_MAH = 3000.0  # what the template's limits of idle drain are for
_WHITE = "full white"  # the case of the sums that nobody has set


@dataclass(frozen=True)
class Bounds:
    """The limits of a line on the sheet of one build."""

    low: float | None
    high: float | None
    high_told: float | None
    times: int | None
    unit: str
    mark: str
    because: str = ""


Sum = Callable[[Bounds, Contents], Bounds | None]


def bounds(line: SheetLine, known: Contents) -> Bounds:
    """The limits of a line: reckoned where the build has the figures, else the template's."""
    own = Bounds(line.low, line.high, line.high_told, line.times, line.unit, line.mark)
    reckon = SUMS.get(line.reckons)
    found = reckon(own, known) if reckon else None
    if found is not None:
        told = None if found.high_told is None else _down(found.high_told)
        high = None if found.high is None else _down(found.high)
        return replace(found, high=high, high_told=told, mark=Mark.RECKONED)
    lacks = _("The figures to reckon a limit from are not known; it is kept for the record.")
    is_open = own.low is own.high is own.times is None
    if reckon is _idle and not own.because:
        return replace(own, because=_("for a cell of %s mAh") % number(_TOLD_OF_MAH))
    return replace(own, because=lacks) if reckon and is_open else own


def _down(value: float) -> float:
    """Three digits of a limit, rounded so that it lets nothing by that the sum would not."""
    if value <= 0:
        return value
    scale = 10.0 ** (2 - floor(log10(value)))
    return floor(value * scale * (1 + 1e-9)) / scale


def _current(own: Bounds, known: Contents) -> Bounds | None:
    cored = known.found.judged.cored
    if cored is None:
        return None
    rating = cored.limit.value / 1000
    facts = {"share": SHARE, "rating": number(rating), "high": number(_down(SHARE * rating))}
    said = _("%(share)s × %(rating)s A, the lowest rating of the cell = %(high)s A") % facts
    return replace(own, high=SHARE * rating, because=said)


def _white(own: Bounds, known: Contents) -> Bounds | None:
    """What the cell bears; of a blade alone what its own pixels take at most."""
    blade = known.build.blade
    if known.build.hilt_id or blade is None or not blade.pixels or blade.part is None:
        return _current(own, known)
    channel = blade.part.spec.get("channel_ma")
    if not channel:
        return None
    idle = blade.part.spec.get("quiescent_ma") or 0.0
    high = strip_current_a(blade.pixels, "#ffffff", channel, idle)
    facts = {
        "pixels": blade.pixels, "channel": number(channel), "idle": number(idle),
        "high": number(_down(high)),
    }  # fmt: skip
    said = _("%(pixels)s pixels × (3 × %(channel)s mA + %(idle)s mA) = %(high)s A at most") % facts
    return replace(own, high=high, because=said)


def _drop(own: Bounds, known: Contents) -> Bounds | None:
    """What its wires lose at full white, and never more than the template lets by."""
    power = known.found.judged
    case = power.verdict.budgets.get(_WHITE) if power.verdict else None
    if case is None or power.strip is None:
        return None
    name = power.strip.name
    runs = {run.name: run for run in power.path.runs}
    lost = [
        drop for drop in case.drops
        if not runs[drop.name].carries or name in runs[drop.name].carries
    ]  # fmt: skip
    total = fsum(drop.drop_v for drop in lost)
    if not total:
        return None
    terms, whole = adding_up([drop.drop_v for drop in lost])
    named = zip(lost, terms, strict=True)
    facts = {"parts": " + ".join(f"{drop.name} {term} V" for drop, term in named), "total": whole}
    said = _("%(parts)s = %(total)s V at full white") % facts
    if own.high is not None and total > own.high:
        said += "; " + _("%s V is the most") % number(own.high)
    return replace(own, high=min(total, own.high or total), because=said[:300])


def adding_up(terms: Sequence[float]) -> tuple[list[str], str]:
    """Terms and their sum in as many digits as the limit has, so that they add up as shown."""
    total = _down(fsum(terms))
    places = max(2, len(number(total).partition(".")[2]))
    scale = 10**places
    units = [floor(term * scale) for term in terms]
    lacks = round(total * scale) - sum(units)
    nearest = sorted(range(len(terms)), key=lambda at: units[at] - terms[at] * scale)
    for at in nearest[: max(0, lacks)]:
        units[at] += 1
    return [f"{unit / scale:.{places}f}" for unit in units], f"{total:.{places}f}"


def _depth(own: Bounds, known: Contents) -> Bounds | None:
    if known.depth is None:
        return None
    said = _("as deep as the stub tube went in: %s") % known.depth.as_typed
    return replace(own, low=known.depth.depth_mm, because=said)


def _idle(own: Bounds, known: Contents) -> Bounds | None:
    """Told up to where the cell lasts the least days; passed in proportion to the template."""
    cored, days = known.found.judged.cored, float(known.shop.least_idle_days)
    if cored is None or not days:
        return None
    capacity = cored.capacity.value
    told = capacity / (days * 24)
    passed = min(told, (own.high if own.high is not None else told) * capacity / _TOLD_OF_MAH)
    facts = {
        "capacity": number(capacity), "days": number(days), "told": number(_down(told)),
        "passed": number(_down(passed)), "own": number(own.high or told),
    }  # fmt: skip
    said = _(
        "%(capacity)s mAh ÷ (%(days)s days × 24 h) = %(told)s mA; "
        "passed below %(own)s mA × %(capacity)s ÷ 3000 = %(passed)s mA"
    )
    return replace(own, high=passed, high_told=told, because=said % facts)


def _speaker(own: Bounds, known: Contents) -> Bounds | None:
    part = known.found.judged.wants.first("speaker")
    ohm = part.given("ohm") if part else None
    if ohm is None or own.low is None or own.high is None:
        return None
    facts = {"low": number(own.low), "high": number(own.high), "ohm": number(ohm.value)}
    said = _("%(low)s to %(high)s %% of %(ohm)s Ω") % facts
    low, high = ohm.value * own.low / 100, ohm.value * own.high / 100
    return replace(own, low=low, high=high, unit="Ω", because=said)


def _slots(own: Bounds, known: Contents) -> Bounds | None:
    return replace(own, times=known.slots, because=_("as many as its card has"))


def _pixels(own: Bounds, known: Contents) -> Bounds | None:
    if known.pixels is None:
        return None
    return replace(own, times=known.pixels, because=_("as many as were counted of this blade"))


SUMS: dict[str, Sum] = {
    "current": _current,
    "white": _white,
    "drop": _drop,
    "depth": _depth,
    "idle": _idle,
    "speaker": _speaker,
    "slots": _slots,
    "pixels": _pixels,
}
