"""Drawn fragments: the rooms' links, the stage rule, the rule of days, measures and days."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django import template
from django.template import Context
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from shop.web.dated import dated
from shop.web.day_rule import divisions
from shop.web.money import written

register = template.Library()

# Room, url name, words; the last ones stand under "More" on a phone.
ROOMS = (
    ("today", "bench_today", gettext_lazy("Today")),
    ("intake", "bench_intake", gettext_lazy("Intake")),
    ("bench", "bench_bench", gettext_lazy("Bench")),
    ("dispatch", "bench_dispatch", gettext_lazy("Dispatch")),
    ("dates", "queue_dates", gettext_lazy("Dates")),
    ("stores", "stores_stores", gettext_lazy("Stores")),
    ("orders", "desk_orders", gettext_lazy("Orders")),
    ("messages", "desk_messages", gettext_lazy("Messages")),
    ("settings", "desk_settings", gettext_lazy("Settings")),
)
FIRST_ON_A_PHONE = 4
# The pages of the settings in groups: url name, words.
SETTINGS = (
    (gettext_lazy("The shop"), (
        ("desk_settings", gettext_lazy("Shop")),
        ("desk_hours", gettext_lazy("Hours")),
        ("desk_closures", gettext_lazy("Closures")),
        ("desk_people", gettext_lazy("People")),
        ("desk_addresses", gettext_lazy("Addresses")),
    )),
    (gettext_lazy("The bench"), (
        ("queue_rules", gettext_lazy("Dates")),
        ("desk_views", gettext_lazy("Views")),
        ("proving_template", gettext_lazy("Bench test")),
        ("desk_places", gettext_lazy("Trays")),
    )),
    (gettext_lazy("Customers"), (
        ("desk_wording", gettext_lazy("Wording")),
        ("desk_mail", gettext_lazy("Mail")),
        ("desk_warranty", gettext_lazy("Warranty")),
    )),
    (gettext_lazy("Money and parcels"), (
        ("desk_money_settings", gettext_lazy("Money")),
        ("desk_books", gettext_lazy("Books")),
        ("desk_services", gettext_lazy("Services")),
        ("desk_parcel_settings", gettext_lazy("Customs")),
    )),
    (gettext_lazy("Data"), (
        ("importing_start", gettext_lazy("Bring in")),
        ("keeping_backups", gettext_lazy("Back-ups")),
    )),
)  # fmt: skip
FOR_THE_OWNER = {"settings"}

# The rule knows the stages by the codes that builds carry; a test holds the two together.
DIVISIONS = {
    "intake": gettext_lazy("intake"),
    "teardown": gettext_lazy("teardown"),
    "install": gettext_lazy("install"),
    "test": gettext_lazy("test"),
    "dispatch": gettext_lazy("dispatch"),
}
BEFORE = {"booked": gettext_lazy("booked")}
LEFT = {"sent": gettext_lazy("sent"), "collected": gettext_lazy("collected")}
UNFINISHED = {
    "returned": gettext_lazy("returned unfinished"),
    "withdrawn": gettext_lazy("withdrawn"),
    "abandoned": gettext_lazy("abandoned"),
}
WIDTH = 100 // len(DIVISIONS)

NARROW_SPACE = "\u202f"
MINUS = "\u2212"


def _address(name: str) -> str:
    try:
        return reverse(name)
    except NoReverseMatch:
        return ""


def _links(context: Context) -> list[dict[str, Any]]:
    who, here = context.get("who"), context.get("room", "")
    if not getattr(who, "is_authenticated", False):
        return []
    owner = getattr(who, "is_owner", False)
    return [
        {"url": url, "words": words, "here": room == here, "second": place >= FIRST_ON_A_PHONE}
        for place, (room, name, words) in enumerate(ROOMS)
        if (owner or room not in FOR_THE_OWNER) and (url := _address(name))
    ]


@register.inclusion_tag("web/_nav.html", takes_context=True)
def nav(context: Context) -> dict[str, Any]:
    """The rooms in the bar at the top, the present one marked; only those that exist."""
    return {"links": _links(context)}


@register.inclusion_tag("web/_foot_nav.html", takes_context=True)
def foot_nav(context: Context) -> dict[str, Any]:
    """The rooms at the foot of a phone: four, and the rest under "More"."""
    links = _links(context)
    second_here = any(link["second"] and link["here"] for link in links)
    request = context.get("request")
    # What a deed that was refused stands at is no page to come back to.
    here = request.get_full_path() if request and request.method == "GET" else ""
    shown = {"links": links, "second_here": second_here, "here": here}
    return {**shown, "who": context.get("who")}


@register.inclusion_tag("desk/_settings_links.html")
def settings_links(here: str) -> dict[str, Any]:
    """The pages of the settings in groups, the present one marked and named."""
    groups: list[dict[str, Any]] = [
        {
            "words": words,
            "links": [
                {"url": url, "words": words, "here": name == here}
                for name, words in pages
                if (url := _address(name))
            ],
        }
        for words, pages in SETTINGS
    ]
    present = [link for group in groups for link in group["links"] if link["here"]]
    return {"groups": groups, "present": present[0]["words"] if present else ""}


def _reached(state: str, started: bool) -> float | None:
    """How far along the rule the pointer stands, in per cent; None where there is no pointer."""
    if state in LEFT:
        return 100
    if state in BEFORE:
        return 0
    if state in UNFINISHED:
        return None
    place = list(DIVISIONS).index(state)
    return (place + (0.5 if started else 0.2)) * WIDTH


def _stage_words(state: str, started: bool) -> str:
    if state not in DIVISIONS:
        return str({**BEFORE, **LEFT, **UNFINISHED}[state])
    place = list(DIVISIONS).index(state) + 1
    said = {"number": place, "of": len(DIVISIONS), "stage": DIVISIONS[state]}
    if started:
        return _("stage %(number)d of %(of)d: %(stage)s, started") % said
    return _("stage %(number)d of %(of)d: %(stage)s") % said


@register.inclusion_tag("web/_stage_rule.html")
def stage_rule(
    state: str, started: bool = False, size: str = "large", labels: bool = True
) -> dict[str, Any]:
    """The five-division rule with a pointer on the build's stage.

    :param size: ``large`` as wide as its place, with labels; ``small`` for a page head, without.
    """
    state = str(state)
    return {
        "size": size,
        "labels": labels and size != "small",
        "reached": _reached(state, started),
        "words": _stage_words(state, started),
        "ticks": range(0, 101, WIDTH),
        "divisions": [
            {"middle": place * WIDTH + WIDTH / 2, "words": words, "here": code == state}
            for place, (code, words) in enumerate(DIVISIONS.items())
        ],
    }


@register.inclusion_tag("web/_day_rule.html")
def day_rule(days: Iterable[Mapping[str, Any]], now: datetime | None = None) -> dict[str, Any]:
    """The rule of days. Long graduations are dispatch days, flags are builds.

    :param days: ``date is_dispatch is_closed flags`` and, where wanted, ``url words``; a flag is
        ``label url state tray``, its state one of ready, danger, late or nothing.
    """
    local = timezone.localtime(now) if now and timezone.is_aware(now) else now
    return {"days": divisions(days, local), "now": local}


def _as_number(value: object) -> Decimal | None:
    try:
        return Decimal(str(value))
    except ArithmeticError:
        return None


@register.filter
def mm(value: object, places: int = 2) -> str:
    """A length: at most two decimals, at least one, a narrow space before the unit."""
    number = _as_number(value)
    if number is None:
        return "–"
    written = number_format(round(number, places), decimal_pos=places)
    while written.endswith("0") and len(written) > 1 and written[-2].isdigit() and places > 1:
        written, places = written[:-1], places - 1
    return f"{written.replace('-', MINUS)}{NARROW_SPACE}mm"


@register.filter
def money(amount: int | None, currency: str) -> str:
    """A sum of minor units with its currency; nothing for none."""
    return written(amount, currency)


@register.filter
def hours(minutes: int) -> str:
    """A length of time, as 1:30; a dash for none."""
    return "–" if not minutes else f"{minutes // 60}:{minutes % 60:02d}"


@register.filter
def thin(value: object) -> str:
    """A value with its unit: every space made narrow and unbreakable, a minus made a minus."""
    written = str(value).strip().replace(" ", NARROW_SPACE)
    return (
        MINUS + written[1:] if written[:2].startswith("-") and written[1:2].isdigit() else written
    )


def _here(value: date | datetime | time | None) -> date | datetime | time | None:
    if isinstance(value, datetime) and timezone.is_aware(value):
        return timezone.localtime(value)
    return value


@register.filter(name="dated")
def dated_(value: date | datetime | time | None, form: str) -> str:
    """A day or an hour in the shop's zone, as the reader's language and the shop write it."""
    return dated(_here(value), form)


@register.filter
def short_day(value: date | datetime | None) -> str:
    """``Mon 30 Nov``, in the shop's zone."""
    return dated(_here(value), "short").replace(" ", "\u00a0")


@register.filter
def long_day(value: date | datetime | None) -> str:
    """``Monday 30 November``, in the shop's zone."""
    return dated(_here(value), "long")
