"""What a booklet says of the bench test: readings that passed, and what its owner should know."""

from collections.abc import Sequence
from datetime import datetime
from string import digits

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from builds.engineering.cells import idle_days
from builds.handover.booklet_words.contents import Measured
from builds.proving.models import RunLine
from builds.proving.queries import Proof
from builds.proving.queries.standing import Stands
from builds.proving.states import Read, Verdict
from shop.web.figures import pointed

# What the bench calls by its own words, in those of an owner.
_OWNERS = {
    "shorts": gettext_lazy("Plus to minus, no short"),
    "insulation": gettext_lazy("Battery path to the metal of the hilt"),
    "plus-path": gettext_lazy("Path of the current, battery to blade"),
    "cell": gettext_lazy("Battery, as it was tested"),
    "wrap": gettext_lazy("battery’s sleeve whole"),
    "power": gettext_lazy("Current at rest, no blade"),
    "idle-drain": gettext_lazy("Current drawn asleep"),
    "isolated": gettext_lazy("Current drawn when cut off"),
    "heat-hilt": gettext_lazy("Hilt, warmest in use"),
    "heat-cell": gettext_lazy("Battery, warmest in use"),
    "depth": gettext_lazy("Blade’s depth in the hilt"),
    "retention": gettext_lazy("Blade held against a pull of"),
    "charge": gettext_lazy("Charging ends at"),
    "rest": gettext_lazy("Battery before and after a night’s rest"),
    "joints": gettext_lazy("every joint looked at under a loupe"),
    "supply": gettext_lazy("starts and warns as its battery runs low"),
    "switches": gettext_lazy("every switch, twenty presses each"),
    "sweep": gettext_lazy("speaker from low to high, no rattle"),
    "slots": gettext_lazy("every slot played"),
    "colours": gettext_lazy("every pixel in red, green, blue and white"),
    "pixels": gettext_lazy("pixels counted"),
    "motion": gettext_lazy("swung, no restart"),
    "impact": gettext_lazy("tapped, no restart"),
    "chassis": gettext_lazy("chassis out and in, the owner’s way"),
    "burn-in": gettext_lazy("run on and off for hours"),
    "card": gettext_lazy("card compared with its list, file by file"),
    "leaves": gettext_lazy("looked over once more before it left"),
}
_DRAIN = "idle-drain"
_OPEN = "OL"  # what a meter shows where nothing flows


def passed(proof: Proof) -> list[Stands]:
    """The lines of the newest run that passed; none of a run that says nothing any more."""
    if proof.standing is None or proof.is_old:
        return []
    return [each for each in proof.standing.lines if each.is_passed]


def measured(lines: Sequence[Stands], capacity_mah: float | None) -> tuple[Measured, ...]:
    """Figures with their unit and limit."""
    return tuple(
        Measured(
            _name(each), _read(each), _limit(each.line, each.verdict), _told(each, capacity_mah)
        )
        for each in lines
        if _is_figure(each)
    )


def tried(lines: Sequence[Stands]) -> tuple[str, ...]:
    """What was seen, heard, counted or waited for, by name."""
    return tuple(_name(each) for each in lines if not _is_figure(each))


def _is_figure(each: Stands) -> bool:
    """Whether its reading is a figure: what ran for a time has one only where volts were read."""
    if each.newest is None or each.line.read not in {Read.FIGURE, Read.TIMED}:
        return False
    return each.newest.as_typed == _OPEN or bool(set(each.newest.as_typed) & set(digits))


def _read(each: Stands) -> str:
    text = each.newest.as_typed if each.newest else ""
    if text == _OPEN:
        return _("no path")
    # A figure and its unit stay in one line; one figure after another need not.
    figure, space, unit = text.replace(" → ", _(" to ")).rpartition(" ")
    return f"{figure}\u00a0{unit}" if space else unit


def newest(lines: Sequence[Stands]) -> datetime | None:
    """When the last of them was read."""
    return max((each.newest.at for each in lines if each.newest), default=None)


def _name(each: Stands) -> str:
    return str(_OWNERS.get(each.line.code, each.line.name))


def _limit(line: RunLine, verdict: str) -> str:
    """The limit that it passed by, in the digits of the sheet."""
    high = line.high_told if verdict == Verdict.TELL else line.high
    facts = {
        "low": pointed(f"{line.low or 0:.4g}"),
        "high": pointed(f"{high or 0:.4g}"),
        "unit": line.unit,
    }
    if line.read != Read.FIGURE or (line.low is None and line.high is None):
        return ""
    if line.low is None:
        words = _("at most %(high)s %(unit)s") % facts
    elif line.high is None:
        words = _("at least %(low)s %(unit)s") % facts
    else:
        words = _("%(low)s to %(high)s %(unit)s") % facts
    head, _space, unit = words.rpartition(" ")
    return f"{head}\u00a0{unit}"


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
