"""What to do where the power stops a build: a lower cap, other wires, other parts."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.fitting.loads import Chosen, Judged, Wired
from builds.fitting.loads.advised import (
    broken_limits,
    cap_that_carries,
    percent,
    rating_that_carries,
    wires_that_bear,
)
from builds.fitting.power_words import numbers
from shop.stores.models import Part
from shop.stores.queries import Figures, figures

MOST_OPTIONS = 4


@dataclass(frozen=True)
class WireAdvice:
    """What would bear the current of a wire, and the row to change."""

    text: str
    row: int | None


@dataclass(frozen=True)
class Option:
    """A part of the stores that carries it."""

    part: Part
    bears: str
    free: int


@dataclass(frozen=True)
class PartAdvice:
    """Parts of the stores in the place of one that does not carry it."""

    name: str
    options: tuple[Option, ...]


@dataclass(frozen=True)
class Advice:
    """All of it; ``cap`` is None where no cap carries every slot, ``seen`` the one that stands."""

    cap: int | None
    seen: int
    wires: tuple[WireAdvice, ...]
    parts: tuple[PartAdvice, ...]

    @property
    def is_any(self) -> bool:
        """Whether there is something to advise."""
        return bool(self.cap or self.wires or self.parts)


def advice_on(power: Judged) -> Advice:
    """What to do about what stops a build; reads the stores only where a part of it does."""
    broken = broken_limits(power)
    parts = [part for part in power.wants.parts if part.name in broken]
    names = {part.name for part in parts}
    wires = [wire for wire in power.wants.wires if wire.name in broken.keys() - names]
    stock = _stock({part.kind for part in parts})
    return Advice(
        cap_that_carries(power),
        percent(power.wants),
        tuple(_wires(power, wires, broken)),
        tuple(_part(power, part, stock) for part in parts),
    )


def _wires(power: Judged, wires: list[Wired], broken: Mapping[str, float]) -> Iterator[WireAdvice]:
    for wire in wires:
        found = wires_that_bear(power, wire, broken[wire.name])
        if found:
            several = [_gauge(gauge, count) for gauge, count in found]
            last = found[-1][1] if len(found) == 1 else 1
            said = ngettext("%(wire)s: %(which)s bears it.", "%(wire)s: %(which)s bear it.", last)
            which = _(", or ").join(several)
            yield WireAdvice(said % {"wire": wire.name, "which": which}, wire.row)


def _gauge(gauge: int, count: int) -> str:
    if count == 1:
        return f"{gauge}{numbers.THIN}AWG"
    said = _("%(n)d of %(gauge)d AWG side by side")
    return said % {"n": count, "gauge": gauge}


def _stock(kinds: set[str]) -> list[tuple[Part, Figures]]:
    if not kinds:
        return []
    there = list(Part.objects.filter(kind__in=kinds, retired=False).select_related("level"))
    known = figures(there)
    return [(part, known[part.pk]) for part in there]


def _part(power: Judged, old: Chosen, stock: list[tuple[Part, Figures]]) -> PartAdvice:
    found = []
    for part, known in stock:
        if part.kind != old.kind or part.pk == old.stores:
            continue
        bears = rating_that_carries(power, old, known)
        if bears is not None:
            found.append((_free(part), bears, part))
    # What is there comes first; among these what bears least more than it must.
    found.sort(key=lambda each: (each[0] == 0, each[1], each[2].pk))
    options = (Option(part, numbers.limit(bears), free) for free, bears, part in found)
    return PartAdvice(old.name, tuple(options)[:MOST_OPTIONS])


def _free(part: Part) -> int:
    level = getattr(part, "level", None)
    return level.free if level else 0
