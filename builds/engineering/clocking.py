"""Where a screwed part comes to stand when it is tight, and the shim that turns it there."""

from builds.engineering.given import NOISE, finite, not_negative, positive

TURN_DEG = 360.0


def advance_mm(pitch_mm: float, angle_deg: float) -> float:
    """How far a thread moves in a turn's share: P × angle / 360.

    Source: the definition of pitch, as in micrometer lessons (tresnainstrument.com).
    """
    return _pitch(pitch_mm) * not_negative(angle_deg, "The angle in degrees") / TURN_DEG


def angle_deg(pitch_mm: float, shim_mm: float) -> float:
    """How much earlier a shim stops a thread: 360 × shim / P. Source: the definition of pitch."""
    return TURN_DEG * not_negative(shim_mm, "The shim in mm") / _pitch(pitch_mm)


def shim_mm(pitch_mm: float, stands_deg: float, wanted_deg: float) -> float:
    """The thinnest shim that makes a part stop where it is wanted.

    Both positions are counted in the direction of tightening. A shim stops the part earlier, so
    it turns back by (stands − wanted), less than one turn: shim = P × that / 360. Source: the
    definition of pitch.
    """
    stands = finite(stands_deg, "The position it stands at")
    back = (stands - finite(wanted_deg, "The position wanted")) % TURN_DEG
    if back > TURN_DEG * (1 - NOISE):  # a whole turn by binary noise alone is none
        back = 0.0
    return advance_mm(pitch_mm, back)


def _pitch(pitch_mm: float) -> float:
    return positive(pitch_mm, "The pitch in mm")
