"""What a booklet says of the bench test: readings that passed, and what its owner should know."""

from collections.abc import Sequence
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from builds.engineering.cells import idle_days
from builds.handover.booklet_words.contents import Measured
from builds.proving.queries import Proof
from builds.proving.queries.page import limit_words
from builds.proving.queries.standing import Stands
from builds.proving.states import Read, Verdict

# What the bench calls by its own words, in those of an owner.
_OWNERS = {
    "shorts": gettext_lazy("Plus to minus, no short"),
    "insulation": gettext_lazy("Battery path to the metal of the hilt"),
    "plus-path": gettext_lazy("Path of the current, battery to blade"),
    "cell": gettext_lazy("Battery, as it was tested"),
    "wrap": gettext_lazy("Battery’s sleeve whole"),
    "power": gettext_lazy("Current at rest, no blade"),
    "idle-drain": gettext_lazy("Current drawn asleep"),
    "isolated": gettext_lazy("Current drawn when cut off"),
    "heat-hilt": gettext_lazy("Hilt, warmest in use"),
    "heat-cell": gettext_lazy("Battery, warmest in use"),
    "depth": gettext_lazy("Blade’s depth in the hilt"),
    "retention": gettext_lazy("Blade held against a pull of"),
    "charge": gettext_lazy("Charging ends at"),
}
_DRAIN = "idle-drain"


def passed(proof: Proof) -> list[Stands]:
    """The lines of the newest run that passed; none of a run that says nothing any more."""
    if proof.standing is None or proof.is_old:
        return []
    return [each for each in proof.standing.lines if each.is_passed]


def measured(lines: Sequence[Stands], capacity_mah: float | None) -> tuple[Measured, ...]:
    """Figures with their unit and limit."""
    return tuple(
        Measured(_name(each), each.newest.as_typed, _limit(each), _told(each, capacity_mah))
        for each in lines
        if each.newest and each.line.read in {Read.FIGURE, Read.TIMED} and each.newest.as_typed
    )


def tried(lines: Sequence[Stands]) -> tuple[str, ...]:
    """What was seen, heard or counted, by name."""
    return tuple(_name(each) for each in lines if each.line.read in {Read.EYE, Read.COUNT})


def newest(lines: Sequence[Stands]) -> datetime | None:
    """When the last of them was read."""
    return max((each.newest.at for each in lines if each.newest), default=None)


def _name(each: Stands) -> str:
    return str(_OWNERS.get(each.line.code, each.line.name))


def _limit(each: Stands) -> str:
    has_limit = each.line.low is not None or each.line.high is not None
    return limit_words(each.line) if has_limit and each.line.read == Read.FIGURE else ""


def _told(each: Stands, capacity_mah: float | None) -> str:
    """What its owner is to know of a reading."""
    reading = each.newest
    if each.line.code == _DRAIN and capacity_mah and reading and reading.value:
        days = int(idle_days(capacity_mah, reading.value))
        words = ngettext(
            "Left asleep, this empties a full battery in about %d day.",
            "Left asleep, this empties a full battery in about %d days.",
            days,
        )
        return words % days
    return _("Passed, and worth knowing.") if each.verdict == Verdict.TELL else ""
