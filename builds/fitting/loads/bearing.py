"""What a wire of a build carries at most, and which of the usual wires bears it."""

from math import fsum

from builds.engineering import wire
from builds.engineering.power.values import over
from builds.fitting.loads.judged import FULL_WHITE, WHITE, Judged
from builds.fitting.loads.values import Shown

# Kept by most benches: common practice, no source. Thicker than 18 is not proposed: the table
# ends there and would let it carry no more, and it hardly bends in a hilt.
STOCKED = (30, 28, 26, 24, 22, 20, 18)
MOST_SIDE_BY_SIDE = 12
ALL, BLADE, CHARGE = "all", "blade", "charge"


def carried_a(power: Judged, carries: str) -> float:
    """The most that passes a wire in the build's own slots at its cap; 0 where nobody knows.

    Without a slot it is full white at the cap.
    """
    if carries == CHARGE:
        port = power.wants.first("port")
        given = port.given("charge_ma") if port else None
        return given.value / 1000 if given else 0.0
    steady = fsum(each.load.worst_a for each in power.drawn if carries in {ALL, each.feeds})
    return steady + (_lit_a(power) if carries in {ALL, BLADE} else 0.0)


def _lit_a(power: Judged) -> float:
    slots = power.wants.slots or (Shown(0, FULL_WHITE, WHITE),)
    cap, strip = power.wants.cap, power.strip
    return max(strip.worst_a(slot.colour, cap * slot.worst) for slot in slots) if strip else 0.0


def thinnest(current_a: float, least: int = 1, most: int = MOST_SIDE_BY_SIDE) -> tuple[int, int]:
    """Gauge and how many side by side: as few wires as bear a current, then as thin as may be.

    :raises ValueError: where so many do not bear it.
    """
    for count in range(least, most + 1):
        for gauge in STOCKED:
            if not over(current_a, wire.current_limit_a(gauge) * count):
                return gauge, count
    raise ValueError(f"{most} wires side by side do not bear {current_a:g} A.")
