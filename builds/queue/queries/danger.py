"""Words for a promise in danger: its odds, what it waits for, and the cheapest thing that helps."""

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.queue.queries.said import Names, Said
from builds.queue.queries.words import why_words
from builds.queue.states import Remedy, percent
from builds.queue.values import ANSWER, ITEM, PARTS, PAYMENT
from shop.web.dated import dated

COMES = {
    PARTS: gettext_lazy("If the parts came tomorrow"),
    ANSWER: gettext_lazy("If the answer came tomorrow"),
    PAYMENT: gettext_lazy("If the payment came tomorrow"),
    ITEM: gettext_lazy("If the parcel came tomorrow"),
}


@dataclass(frozen=True)
class Way:
    """What helps, in words, and where it is done."""

    words: str
    deed: str
    url: str


def trouble(said: Said) -> str:
    """How likely the day is, and why: "34 % for Fri 4 Dec: waits for parts"."""
    return _("%(n)d %% for %(day)s: %(why)s") % {
        "n": said.percent,
        "day": dated(said.due.day, "short"),
        "why": why_words(said.outlook.drives),
    }


def way_out(said: Said, names: Names, number: int) -> Way:
    """The cheapest thing that helps; where nothing is known to, the sheet."""
    facts, odds = said.outlook.remedy_with, percent(said.outlook.remedy_odds or 0.0)
    sheet = reverse("bench_sheet", args=[number])
    remedy = said.outlook.remedy
    if remedy in {Remedy.CHASE, Remedy.ASK}:
        words = _("%(if)s: %(n)d %%") % {"if": COMES[facts["cause"]], "n": odds}
        if remedy == Remedy.ASK:
            return Way(words, _("Ask the customer"), reverse("bench_tell", args=[number]))
        line = names.lines.get(facts.get("line", 0))
        where = reverse("stores_purchase", args=[line.purchase.number]) if line else sheet
        return Way(words, _("Ask after the parts"), where)
    if remedy == Remedy.FIRST:
        words = _("Taken first, %d %%, and nobody else falls short") % odds
        return Way(words, _("Move it up"), reverse("queue_order", args=[number]) + "?to=first")
    if remedy == Remedy.EXTRA_DAY and facts["person"] in names.people:
        words = _("If %(who)s works on %(day)s: %(n)d %%") % {
            "who": names.people[facts["person"]], "day": _short(facts["day"]), "n": odds,
        }  # fmt: skip
        asked = {key: facts[key] for key in ("person", "day", "opens", "closes")}
        where = f"{reverse('queue_if_day')}?{urlencode(asked)}"
        return Way(words, _("See what it does"), where)
    if remedy == Remedy.NEW_DAY:
        words = _("First day that holds: %(day)s, %(n)d %%") % {
            "day": _short(facts["day"]), "n": odds,
        }  # fmt: skip
        return Way(words, _("Tell a new day"), f"{sheet}?day={facts['day']}#promise")
    return Way("", _("Open sheet"), sheet)


def _short(day: str) -> str:
    return dated(date.fromisoformat(day), "short")
