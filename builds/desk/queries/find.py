"""One box that finds builds, orders, customers and parts by what stands on them."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from django.db.models import Q

from builds.desk.queries.orders import named_by
from builds.dispatch.models import Packed
from builds.fitting.models import BuildPart
from builds.handover.models import Return
from builds.handover.queries.returns import by_number
from builds.hilts.models import Blade, Hilt
from builds.hilts.queries.blades import blades_named
from builds.intake.models import Arrival, Match
from builds.progress.models import Build
from builds.progress.queries import builds
from builds.progress.states import STAGES
from builds.sounds.models import SoundSet
from builds.sounds.queries.sets import sets_named
from shop.orders.models import Order
from shop.people.models import Customer
from shop.stores.models import Part
from shop.stores.queries.shelf import is_label, parts_named
from shop.web.prefix import begins

AT_MOST = 20  # of each kind; more is a text that says too little
_TRAY = re.compile(r"(?:tray|t)\s*0*(\d{1,5})", re.IGNORECASE)
_KINDS = ("builds", "orders", "customers", "arrivals", "parts", "sounds", "blades", "returns")
_NUMBER = re.compile(r"#?\s*0*(\d{1,9})")


@dataclass(frozen=True)
class Found:
    """What a text found.

    ``exact`` is the one build that a number or a tray can only mean, ``labelled`` the one part
    that a label can only mean.
    """

    builds: list[Build] = field(default_factory=list)
    orders: list[Order] = field(default_factory=list)
    customers: list[Customer] = field(default_factory=list)
    arrivals: list[Arrival] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    sounds: list[SoundSet] = field(default_factory=list)
    blades: list[Blade] = field(default_factory=list)
    returns: list[Return] = field(default_factory=list)
    exact: Build | None = None
    labelled: Part | None = None

    @property
    def count(self) -> int:
        """How many things were found."""
        return sum(len(getattr(self, kind)) for kind in _KINDS)


def find(text: str) -> Found:
    """Look a text up everywhere, in a number of queries that does not grow with the shop."""
    wanted = " ".join(text.split())
    if not wanted:
        return Found()
    numbered = _numbered(wanted)
    people = _people(wanted)
    arrivals, returned = _arrivals(wanted), by_number(wanted)
    meant = {*numbered, *_on_hilts(wanted), *_posted(wanted), *_came_in(arrivals)}
    if returned:
        meant.add(returned.became_id or returned.build_id)
    rows = _builds(meant | set(_with_serial(wanted)), people)
    found = Found(
        builds=rows,
        orders=list(
            Order.objects.select_related("customer")
            .filter(begins("number", wanted))
            .order_by("-placed_at", "-pk")[:AT_MOST]
        ),
        customers=people,
        arrivals=arrivals,
        parts=list(parts_named(wanted)[:AT_MOST]),
        sounds=list(sets_named(wanted)[:AT_MOST]),
        blades=list(blades_named(wanted)[:AT_MOST]),
        returns=[returned] if returned else [],
    )
    return _exactly(found, is_numbered=len(numbered) == 1, is_label=is_label(wanted))


def _people(wanted: str) -> list[Customer]:
    """By each column's own index as many as are shown: of hundreds, none is sorted.

    Asked one by one: for several columns at once PostgreSQL reads every customer.
    """
    meant: set[int] = set()
    for column, begun in named_by(wanted).items():
        first = Customer.objects.filter(begun).order_by(column)
        meant.update(first.values_list("pk", flat=True)[:AT_MOST])
    nobody = 0  # no key: who finds nobody asks as much
    found = Customer.objects.filter(pk__in=[*meant, nobody])
    return list(found.order_by("called_folded")[:AT_MOST])


def _exactly(found: Found, *, is_numbered: bool, is_label: bool) -> Found:
    """The same, with the one thing that the text can only mean, if it is one."""
    if found.count != 1:
        return found
    exact = found.builds[0] if is_numbered and found.builds else None
    labelled = found.parts[0] if is_label and found.parts else None
    return replace(found, exact=exact, labelled=labelled)


def _numbered(wanted: str) -> list[int]:
    """Builds of a number, and the open build of a tray: "142", "0142", "tray 7"."""
    tray, number = _TRAY.fullmatch(wanted), _NUMBER.fullmatch(wanted)
    meant = Q(pk__in=[])
    if tray or number:
        digits = int((tray or number)[1])  # type: ignore[index]
        meant = Q(tray__number=digits, state__in=STAGES)
        if number:
            meant |= Q(number=digits)
    return list(Build.objects.filter(meant).values_list("pk", flat=True)[:AT_MOST])


def _on_hilts(wanted: str) -> list[int]:
    hilts = Hilt.objects.filter(begins("name_folded", wanted)).values("pk")
    newest = Build.objects.filter(hilt__in=hilts).order_by("-number")
    return list(newest.values_list("pk", flat=True)[:AT_MOST])


def _with_serial(wanted: str) -> list[int]:
    """Builds in which a part of this serial number is, or was."""
    parts = BuildPart.objects.filter(~Q(serial=""), begins("serial_folded", wanted))
    return list(parts.order_by("-pk").values_list("build", flat=True)[:AT_MOST])


def _arrivals(wanted: str) -> list[Arrival]:
    found = Arrival.objects.filter(tracking__in=_as_typed(wanted)).order_by("-came_at")
    return list(found[:AT_MOST])


def _came_in(arrivals: Iterable[Arrival]) -> list[int]:
    held = Match.objects.filter(arrival__in=list(arrivals), ended_at=None)
    return list(held.values_list("build", flat=True)[:AT_MOST])


def _posted(wanted: str) -> list[int]:
    packed = Packed.objects.filter(parcel__tracking__in=_as_typed(wanted), taken_out_at=None)
    return list(packed.values_list("build", flat=True)[:AT_MOST])


def _as_typed(wanted: str) -> set[str]:
    """A tracking number as it may have been written down: with its spaces or without."""
    tight = wanted.replace(" ", "")
    return {wanted, wanted.upper(), tight, tight.upper()}


def _builds(ids: set[int], people: list[Customer]) -> list[Build]:
    """The builds themselves, and the open ones of the customers found: open ones first."""
    meant = Q(pk__in=ids) | Q(hilt__customer__in=people, state__in=STAGES)
    found = builds().filter(meant).order_by("-number")[: 2 * AT_MOST]
    return sorted(found, key=lambda build: (not build.is_open, -build.number))
