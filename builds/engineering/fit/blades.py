"""The blade in its socket: how much play it has, how deep it sits."""

from builds.engineering.findings import Level
from builds.engineering.fit.rounding import Clearance, finding, settled
from builds.engineering.given import not_negative, positive

PLAY_MM = (0.1, 0.3)  # common practice, no source
USUAL_DEPTH_MM = 25.4  # an inch, as makers state it
LEAST_DEPTH_MM = 19.0  # common practice, no source


def blade(
    socket_bore_mm: float,
    blade_mm: float,
    depth_mm: float,
    least_depth_mm: float = LEAST_DEPTH_MM,
    about: str = "",
) -> Clearance:
    """Whether a blade goes into its socket and far enough.

    Play = socket − blade. Finds ``blade-too-wide`` below 0, ``blade-tight`` below 0.1 mm,
    ``blade-loose`` above 0.3 mm, ``blade-too-shallow`` below the least depth, ``blade-shallow``
    below 25.4 mm; the two "too" stop. Play of 0.1 to 0.3 mm and 19 mm as the least depth are
    common practice, no source; 25.4 mm is the depth that makers state.

    :raises ValueError: where a diameter or the least depth are not above 0, or the depth negative.
    """
    socket = positive(socket_bore_mm, "The bore of the blade socket in mm")
    outside = positive(blade_mm, "The diameter of the blade in mm")
    depth = not_negative(depth_mm, "The depth of the blade in its socket in mm")
    least = positive(least_depth_mm, "The least depth of the blade in mm")
    play = settled(socket - outside)
    sideways = {"socket_bore_mm": socket, "blade_mm": outside, "play_mm": play}
    along = {"depth_mm": depth, "least_depth_mm": least, "usual_depth_mm": USUAL_DEPTH_MM}
    found = [(code, sideways) for code in _play_codes(play)]
    found += [(code, along) for code in _depth_codes(depth, least)]
    return Clearance(
        play,
        tuple(
            finding(Level.STOPS if "-too-" in code else Level.KNOW, code, about, figures)
            for code, figures in found
        ),
    )


def _play_codes(play_mm: float) -> list[str]:
    tight, loose = PLAY_MM
    if play_mm < 0:
        return ["blade-too-wide"]
    if settled(play_mm - tight) < 0:
        return ["blade-tight"]
    return ["blade-loose"] if settled(play_mm - loose) > 0 else []


def _depth_codes(depth_mm: float, least_mm: float) -> list[str]:
    if settled(depth_mm - least_mm) < 0:
        return ["blade-too-shallow"]
    return ["blade-shallow"] if settled(depth_mm - USUAL_DEPTH_MM) < 0 else []
