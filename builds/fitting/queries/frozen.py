"""What the sums said of a build as it left teardown, read back from how it was kept."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType
from typing import Any

from django.utils.translation import gettext as _

from builds.engineering.findings import Finding, Level
from builds.fitting.drawing import lengths_in
from builds.fitting.drawing.reading import least_shown, room_shown, shown, with_unit
from builds.fitting.fit_words import sentence as fit_sentence
from builds.fitting.fit_words.findings import CODES as FIT_CODES
from builds.fitting.models import Plan
from builds.fitting.power_words import numbers
from builds.fitting.power_words.sentences import sentence


@dataclass(frozen=True)
class Frozen:
    """When it was kept, and what was said, line by line."""

    at: datetime
    fit: tuple[str, ...]
    power: tuple[str, ...]


def frozen(plan: Plan | None, unit: str = "mm") -> Frozen | None:
    """What was kept of a build; None where it never left teardown."""
    if plan is None or plan.frozen_at is None:
        return None
    with lengths_in(unit):
        return Frozen(plan.frozen_at, tuple(_fit(plan.fit)), tuple(_power(plan.power)))


def _fit(kept: dict[str, Any] | None) -> Iterable[str]:
    if not kept:
        return
    for cut in kept["across"]:
        yield _("%(section)s, bore %(bore)s: %(parts)s want %(least)s, clearance %(room)s.") % {
            "section": cut["section"], "bore": with_unit(shown(cut["bore_mm"])),
            "parts": " + ".join(cut["parts"]),
            "least": with_unit(least_shown(cut["least_bore_mm"])),
            "room": with_unit(room_shown(cut["clearance_mm"])),
        }  # fmt: skip
    if kept["slack_mm"]:
        low, nominal, high = (with_unit(room_shown(mm)) for mm in kept["slack_mm"])
        said = _("Along the hilt %(slack)s of slack, in the worst case %(low)s to %(high)s.")
        yield said % {"slack": nominal, "low": low, "high": high}
    yield from (_fit_words(found) for found in _findings(kept))


def _fit_words(found: Finding) -> str:
    if found.code not in FIT_CODES:  # of another version
        return f"{found.code}: {found.about}"
    told = fit_sentence(found)
    return f"{told.head} {told.rest}".strip()


def _power(kept: dict[str, Any] | None) -> Iterable[str]:
    if not kept:
        return
    case = kept["cases"].get(kept["worst"])
    if case:
        said = _("%(cell)s, cap %(cap)s %%: %(current)s at most, in slot %(slot)s; runs %(time)s.")
        yield said % {
            "cell": kept["cell"], "cap": f"{kept['cap'] * 100:.0f}",
            "current": numbers.current(case["worst_a"]), "slot": kept["worst"],
            "time": numbers.hours(_end(case["runtime_worst_h"])),
        }  # fmt: skip
        yield _("At rest a full cell lasts %s.") % numbers.days(_end(case["idle_days"]))
    yield from (sentence(found) for found in _findings(kept))


def _end(value: float | None) -> float:
    return float("inf") if value is None else value


def _findings(kept: dict[str, Any]) -> list[Finding]:
    return [
        Finding(
            Level(each["level"]), each["code"], each["about"], MappingProxyType(each["figures"])
        )
        for each in kept["findings"]
    ]
