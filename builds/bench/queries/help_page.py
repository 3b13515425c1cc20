"""The parts of the help page, and which of them speak of something."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.template.loader import render_to_string
from django.utils.functional import Promise
from django.utils.html import strip_tags
from django.utils.translation import gettext_lazy as _


@dataclass(frozen=True)
class Part:
    """One part: its anchor, its heading, and its text, which stands in a template."""

    code: str
    heading: str | Promise
    text: str = ""

    @property
    def template(self) -> str:
        """Where its text stands."""
        return f"bench/help/_{self.code}.html"


PARTS = (
    Part("start", _("Where to begin")),
    Part("asks", _("Somebody asks, somebody orders")),
    Part("quotes", _("Quotes, and what a yes binds")),
    Part("money", _("Deposits, payments, invoices")),
    Part("arrives", _("A parcel arrives")),
    Part("bench", _("Work at the bench")),
    Part("stores", _("Parts and stock")),
    Part("measuring", _("Measuring a hilt")),
    Part("fits", _("Does it fit")),
    Part("powering", _("Slots and power")),
    Part("sounds", _("Sound sets and the card")),
    Part("wiring", _("Wiring")),
    Part("testing", _("The bench test")),
    Part("gestures", _("Gestures, and blades")),
    Part("filming", _("The film for its owner")),
    Part("deciding", _("What needs a decision")),
    Part("handing", _("The hand-over")),
    Part("ordering", _("To order")),
    Part("waits", _("When a build waits")),
    Part("dates", _("Dates, the line, and what if")),
    Part("odds", _("Days told, and how likely they are")),
    Part("back", _("When something went wrong")),
    Part("dispatch", _("Dispatch day")),
    Part("services", _("Services, cells on the way, customs")),
    Part("calendar", _("Dates in your calendar")),
    Part("wifi", _("When the Wi-Fi is gone at the bench")),
    Part("road", _("Where there is no signal")),
    Part("collected", _("Collected in person")),
    Part("telling", _("Telling the customer")),
    Part("finding", _("Finding things, and the keyboard")),
    Part("words", _("What each word means")),
    Part("care", _("Cautions")),
    Part("doors", _("Signing in, and a lost telephone")),
    Part("trouble", _("When the tool itself does not answer")),
)


def parts(wanted: str) -> Sequence[Part]:
    """The parts that hold every word of a text; all of them where none is asked for."""
    written = [Part(one.code, one.heading, render_to_string(one.template)) for one in PARTS]
    asked = wanted.casefold().split()
    return [one for one in written if all(word in _plain(one) for word in asked)]


def _plain(part: Part) -> str:
    return f"{part.heading} {strip_tags(part.text)}".casefold()
