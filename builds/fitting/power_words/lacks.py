"""What is missing to reckon with, in words, each with where it is met."""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.fitting.loads import Lack

t = gettext_lazy
# Code → sentence, what the link says, where it leads.
_SAID = {
    "no-cell": (t("No cell is chosen."), t("Choose a cell"), "fitting_parts"),
    "cell-without-figures": (
        t("%(about)s has no capacity, voltage or current at most written down."),
        t("Write them down"), "part",
    ),
    "pixels-not-counted": (
        t("The pixels of %(about)s are not counted."), t("Count them"), "part",
    ),
    "pixels-by-length": (
        t("The pixels of %(about)s are taken from its length: count the real ones."),
        t("To the list"), "fitting_parts",
    ),
    "no-light": (
        t("Neither a blade with pixels nor an LED is on the list."), t("Choose a blade"),
        "fitting_parts",
    ),
    "no-slot": (
        t("No slot is written down: only full white can be reckoned, on paper."),
        t("Write the slots down"), "sounds_slots",
    ),
    "no-board": (
        t("No board is chosen: its own current and its output are not counted."),
        t("Choose a board"), "fitting_parts",
    ),
    "no-wire": (t("No wire is on the list: no drop is reckoned."), t("List the wires"),
                "fitting_wires"),
    "board-without-working": (
        t("Nobody has said what %(about)s takes when working: it is not counted."),
        t("Write it down"), "part",
    ),
    "board-without-idle": (
        t("Nobody has said what %(about)s takes at rest: the days at rest are not known."),
        t("Write it down"), "part",
    ),
    "light-without-current": (
        t("Nobody has said what %(about)s takes: it is not counted."), t("Write it down"), "part",
    ),
    "speaker-without-ohm": (
        t("The resistance of %(about)s is not written down: the amplifier is not counted."),
        t("Write it down"), "part",
    ),
    "wire-without-length": (
        t("The wire %(about)s has no length: its drop is not reckoned."), t("Measure it"),
        "fitting_wires",
    ),
    "wire-feeds-no-blade": (
        t("The wire %(about)s feeds a blade, but none is on the list."), t("To the wires"),
        "fitting_wires",
    ),
    "wire-feeds-no-accents": (
        t("The wire %(about)s feeds accents, but none are on the list."), t("To the wires"),
        "fitting_wires",
    ),
    "wire-feeds-no-speaker": (
        t("The wire %(about)s feeds a speaker, but none is on the list."), t("To the wires"),
        "fitting_wires",
    ),
    "charge-unknown": (
        t("The charging current of the port is not written down: its wires are not judged."),
        t("To the list"), "part",
    ),
    "impossible-cell": (
        t("The cell %(about)s: its figures cannot all be right, of voltage, current and capacity."),
        t("Look at the figures"), "part",
    ),
    "impossible": (
        t("A figure that is written down with a part or a wire cannot be right."),
        t("Look at the figures"), "fitting_parts",
    ),
}  # fmt: skip
CODES = frozenset(_SAID)


@dataclass(frozen=True)
class Missing:
    """A thing that is missing, in words, and where it is met."""

    code: str
    text: str
    deed: str
    url: str
    blocks: bool


def missing(lack: Lack, number: int) -> Missing:
    """A lack of the build of a number in words."""
    text, deed, where = _SAID[lack.code]
    url = _url(where, lack, number)
    return Missing(lack.code, str(text) % {"about": lack.about}, str(deed), url, lack.blocks)


def _url(where: str, lack: Lack, number: int) -> str:
    if where != "part":
        return reverse(where, args=[number])
    if lack.stores:
        return reverse("stores_part", args=[lack.stores])
    return reverse("fitting_parts", args=[number])


def first_words(found: list[Missing]) -> str:
    """The first thing that is missing and how many more."""
    more = len(found) - 1
    if more < 1:
        return found[0].text
    return _("%(first)s And %(n)d more.") % {"first": found[0].text, "n": more}
