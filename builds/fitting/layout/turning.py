"""Threads that stop past their place, and the shim that brings each home."""

import itertools
from collections.abc import Sequence

from builds.engineering.clocking import advance_mm
from builds.fitting.layout.values import Tube, Turn

HOME_DEG = 2.0  # nobody sees less; common practice, no source


def turns_of(tubes: Sequence[Tube]) -> tuple[Turn, ...]:
    """Each thread joint whose far side stands past its place when tight.

    The clock position counts in the direction of tightening. A shim of pitch × angle / 360 stops
    the thread earlier by that angle.
    """
    found = []
    for tube, behind in itertools.pairwise(tubes):
        pitch, clock = tube.given.pitch, tube.given.clock
        if tube.given.joint != "thread" or pitch is None or clock is None or pitch.mm <= 0:
            continue
        angle = clock.mm % 360
        if HOME_DEG <= angle <= 360 - HOME_DEG:
            has_switch = any(hole.what == "switch" for hole in behind.given.openings)
            shim = advance_mm(pitch.mm, angle)
            found.append(Turn(tube, behind.name, angle, shim, has_switch))
    return tuple(found)
