"""What the sums of power found, one sentence a code."""

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.engineering.findings import Finding
from builds.engineering.given import NOISE
from builds.fitting.power_words import numbers

t = gettext_lazy
# Found of the build as a whole, at whichever slot stands first: slots may be named anew.
_OF_THE_WHOLE = frozenset({"full-white", "idle-days"})
SENTENCES = {
    "over-upper": t(
        "%(about)s carries %(current_a)s %(when)s. Even in free air it bears %(upper_a)s at most."
    ),
    "over-limit": t(
        "%(about)s bears %(limit_a)s; %(when)s %(current_a)s pass it: %(over)s too much."
    ),
    "near-limit": t(
        "%(about)s has less than a fifth to spare: %(current_a)s of %(limit_a)s %(when)s."
    ),
    "low-voltage": t(
        "At the far end of %(about)s %(left_v)s are left %(when)s, from a cell at its nominal"
        " voltage: a board or strip wants %(least_v)s."
    ),
    "not-in-table": t(
        "%(about)s: the table for %(table)s knows no %(gauge)s AWG; its limit follows the rule of"
        " %(used)s."
    ),
    "full-white": t(
        "Full white would draw %(current_a)s on paper, more than this bears: %(limits)s."
        " No slot of this build is set so. Say once why that may be."
    ),
    "full-white-own": t(
        "Full white draws %(current_a)s, more than this bears: %(limits)s. Say once why that may"
        " be."
    ),
    "idle-days": t("Switched off, a full cell lasts %(idle_days)s; the shop wants %(limit_days)s."),
    "speaker-over": t(
        "The amplifier can give %(about)s %(most_w)s; it bears %(rating_w)s. Limit the volume on"
        " the board, and say so here."
    ),
    "cells-many": t(
        "%(cells)s cells are on the list; one is reckoned with, as if it were alone. Side by side"
        " they carry more. In series the voltages add up and nothing here holds: list such a pack"
        " as one part with its own figures. Say how they are wired."
    ),
    "led-full": t(
        "%(about)s takes %(full_a)s from a full cell, more than its %(current_a)s: the resistor"
        " is chosen for the working voltage."
    ),
    "led-unlit": t(
        "%(about)s wants %(forward_v)s, the cell gives %(supply_v)s: no resistor helps, it wants"
        " a driver that lifts the voltage."
    ),
    "strip-powered": t(
        "Let the board switch the strip's supply: left powered, its dark pixels take %(dark_a)s"
        " and a full cell is flat in %(idle_days)s."
    ),
}
_SHOWN: Mapping[str, Callable[[float], str]] = {
    "current_a": numbers.current, "full_a": numbers.current, "dark_a": numbers.current,
    "limit_a": numbers.limit, "upper_a": numbers.limit, "own_a": numbers.current,
    "left_v": numbers.volts, "least_v": numbers.volts, "forward_v": numbers.volts,
    "supply_v": numbers.volts, "drop_v": numbers.drop,
    "idle_days": numbers.days, "limit_days": numbers.days,
    "most_w": numbers.watts, "rating_w": numbers.rating,
}  # fmt: skip


def sentence(found: Finding) -> str:
    """A finding in words; one without words (of a later version, say) is shown by its code."""
    if found.code not in SENTENCES:
        return f"{found.code}: {found.about}"
    shown = {name: _shown(name, value) for name, value in found.figures.items()}
    case = str(found.figures.get("case", ""))
    words = {
        **shown,
        "about": found.about,
        **_passed(found),
        "when": _when(case) if case else _("while it charges"),
    }
    said = str(SENTENCES[_code(found)]) % words
    return said[:1].upper() + said[1:]


def _code(found: Finding) -> str:
    """A decision on full white does not say that no slot is set so where one is."""
    own, paper = (float(found.figures.get(name, 0.0)) for name in ("own_a", "current_a"))
    is_own = found.code == "full-white" and own >= paper * (1 - NOISE)
    return "full-white-own" if is_own else found.code


def _passed(found: Finding) -> dict[str, str]:
    """What passes a broken limit, the limit, what is too much: as finely as makes them agree."""
    name = {"over-limit": "limit_a", "over-upper": "upper_a"}.get(found.code)
    if name is None:
        return {}
    current, limit = (float(found.figures[each]) for each in ("current_a", name))
    shown = numbers.passed(current, limit)
    return {"current_a": shown.current, name: shown.limit, "over": shown.over}


def _when(case: str) -> str:
    if case == "full white":
        return _("at full white, on paper")
    return _("in slot %(slot)s") % {"slot": case}


def _shown(name: str, value: float | str) -> str:
    if isinstance(value, str):
        return value
    return _SHOWN.get(name, str)(value)


def key_of(found: Finding) -> str:
    """Under which a decision on a finding is kept: its code, and what it was found at."""
    if found.code in _OF_THE_WHOLE:
        return found.code
    lying = [str(found.figures.get(name, "")) for name in ("what", "on")]
    return ":".join([found.code, found.about, *(each for each in lying if each)])[:200]
