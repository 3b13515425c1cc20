"""What would carry a build that is stopped: a lower cap, other wires, another part. All judged."""

from dataclasses import replace

from builds.fitting.loads.bearing import MOST_SIDE_BY_SIDE, thinnest
from builds.fitting.loads.judged import Judged, judged, limits_of
from builds.fitting.loads.values import Chosen, Wants, Wired
from shop.stores.queries import Figures

LEAST_CAP = 5  # per cent, as low as a cap may be set


def cap_that_carries(power: Judged) -> int | None:
    """The highest whole cap in per cent at which nothing stops the build, None where none helps.

    What passes a limit only grows with the cap, so halving finds it; each step is judged anew.
    """
    if not power.stops or power.blocking:
        return None
    low, high = LEAST_CAP, percent(power.wants)
    if low >= high or not _carries(power.wants, low):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _carries(power.wants, middle) else (low, middle)
    return low


def percent(wants: Wants) -> int:
    """The cap of a build in per cent."""
    return round(wants.cap * 100)


def _carries(wants: Wants, cap: int) -> bool:
    return not judged(replace(wants, cap=cap / 100, is_cap_set=True)).stops


def broken_limits(power: Judged) -> dict[str, float]:
    """Name of each part and wire whose limit stops the build → the current that passes it."""
    return {
        each.about: float(each.figures["current_a"])
        for each in power.stops
        if each.code in {"over-limit", "over-upper"}
    }


def wires_that_bear(power: Judged, wired: Wired, current_a: float) -> tuple[tuple[int, int], ...]:
    """Gauge and how many side by side in place of a wire: one alone, then several."""
    wanted = [(1, 1), (2, MOST_SIDE_BY_SIDE)]
    found = []
    for least, most in wanted:
        try:
            gauge, count = thinnest(current_a, least, most)
        except ValueError:
            continue
        if _is_borne(power, wired, replace(wired, gauge=gauge, parallel=count)):
            found.append((gauge, count))
    return tuple(found)


def _is_borne(power: Judged, old: Wired, new: Wired) -> bool:
    wires = tuple(new if wire == old else wire for wire in power.wants.wires)
    return old.name not in broken_limits(judged(replace(power.wants, wires=wires)))


def rating_that_carries(power: Judged, old: Chosen, figures: Figures) -> float | None:
    """The limit in A of another part in the place of one, None where it does not carry it."""
    new = replace(old, figures=figures)
    parts = tuple(new if part == old else part for part in power.wants.parts)
    found = judged(replace(power.wants, parts=parts))
    limit = limits_of(found).get(old.name)
    if found.blocking or limit is None or old.name in broken_limits(found):
        return None
    return limit.value / 1000
