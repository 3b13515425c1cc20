"""What the sections "Cells on the way" and "Class" of a parcel's page show, in finished data."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from builds.dispatch.limit_words import LIMITS, RULES
from builds.dispatch.models import CarrierRule, Parcel, Service
from builds.dispatch.queries.cells import Thing
from builds.dispatch.queries.classing import Classing, classing_of, rules_of, said
from builds.dispatch.queries.remedies import Remedy, remedies
from builds.dispatch.states import CellUnit, Chemistry, Class, Stowage, Terminals
from builds.engineering import lithium
from builds.engineering.lithium import Mark, Verdict
from shop.web.figures import pointed

_TONE = {
    Class.ALLOWED: "met", Class.NOTHING: "met", Class.BY_RULE: "met", Class.MISSING: "brass",
    Class.REFUSED: "stop",
}  # fmt: skip


@dataclass(frozen=True)
class ClassSection:
    """The class of a parcel that is still here."""

    classing: Classing
    services: list[Service]
    ways_out: list[Remedy]

    @property
    def tone(self) -> str:
        """How the verdict is drawn."""
        return _TONE[self.classing.state]

    @property
    def result(self) -> lithium.Classed | None:
        """What the sums say."""
        return self.classing.classed

    @property
    def reasons(self) -> list[str]:
        """Why, in sentences, where nothing speaks against it."""
        found = self.result.reasons if self.result else ()
        against = {row.sentence for row in self.result.against} if self.result else set()
        return [said(row) for row in found if row not in against]

    @property
    def cautions(self) -> list[str]:
        """What to mind anyway; the deference line stands apart."""
        found = self.result.cautions if self.result else ()
        return [said(row) for row in found if row.code != "aid"]

    @property
    def rules(self) -> list[tuple[CarrierRule, list[str]]]:
        """The carrier's own rules that count here, each with the reasons that it answers."""
        return [(rule, self.classing.answered_by(rule)) for rule in self.classing.rules]

    @property
    def wants_mark(self) -> bool:
        """Whether the mark stands on the package."""
        return bool(self.result and self.result.mark is Mark.REQUIRED)

    @property
    def limits(self) -> list[tuple[str, lithium.Limit]]:
        """The limits that it was held against, in words."""
        found = self.result.limits if self.result else ()
        return [(str(LIMITS[limit.code]), limit) for limit in found]

    @property
    def rule_words(self) -> list[str]:
        """What the short names of its rules stand for."""
        names = self.result.rule if self.result else ""
        return [str(words) for name, words in RULES.items() if name in names.split(", ")]

    @property
    def checked_on(self) -> date:
        """When the limits were last compared with their sources."""
        return lithium.CHECKED_ON

    @property
    def wants_printing(self) -> bool:
        """Whether something is to be printed for the outside of the package."""
        return bool(self.result and self.classing.may_go and (self.wants_mark or self.result.texts))


def class_section(parcel: Parcel, on: date) -> ClassSection:
    """The class of a parcel, and the ways out of a refusal."""
    classing = classing_of(parcel, on)
    services = list(Service.objects.filter(retired=False))
    rules = rules_of(row.pk for row in services)
    return ClassSection(classing, services, remedies(classing, services, rules))


@dataclass(frozen=True)
class Stow:
    """One line of "Cells on the way": the thing, what was said of it, and what is asked."""

    thing: Thing
    said: list[str]
    wants_charge: bool

    @property
    def lacks_figures(self) -> bool:
        """Whether a figure of its cells is missing."""
        return self.thing.goes_along and bool(_lacking(self.thing))

    @property
    def is_done(self) -> bool:
        """Whether nothing more is asked of it."""
        asked = self.wants_charge and self.thing.charge is None
        return self.thing.is_answered and not self.lacks_figures and not asked


_OF_FIGURES = {
    "missing-chemistry", "missing-unit", "missing-count", "missing-watt-hours", "missing-lithium",
    "missing-test", "missing-needed",
}  # fmt: skip


def _lacking(thing: Thing) -> set[str]:
    alone = lithium.Parcel(thing.items or (lithium.Cells(lithium.Chemistry.NONE),), damaged=False)
    against = lithium.classify(alone, lithium.Mode.ADR_ROAD, date.max).against
    missing = {row.sentence.code for row in against if row.verdict is Verdict.MISSING_DATA}
    return missing & _OF_FIGURES


def stows(section: ClassSection) -> list[Stow]:
    """Each thing of the parcel that has a cell or may have one."""
    return [
        Stow(thing, list(_said_of(thing)), _wants_charge(section, thing))
        for thing in section.classing.contents.things
    ]


def _wants_charge(section: ClassSection, thing: Thing) -> bool:
    service = section.classing.service
    by_air = bool(service and service.mode == lithium.Mode.AIR)
    return by_air and thing.stowage == Stowage.PACKED_WITH


def stowed_words(cell: Mapping[str, Any]) -> str:
    """How a cell travelled, from what was kept as its parcel left."""
    words = [str(Stowage(cell["stowage"]).label)] if cell["stowage"] else []
    words += [str(Terminals(cell["ends"]).label)] if cell["ends"] else []
    words += [f"{cell['charge']}\u202f%"] if cell["charge"] is not None else []
    return ", ".join(words)


def _said_of(thing: Thing) -> Iterator[str]:
    if thing.stowage:
        yield str(Stowage(thing.stowage).label)
    answer = thing.answer
    if answer and answer.terminals:
        yield str(Terminals(answer.terminals).label)
    if thing.goes_along:
        for item in thing.items:
            yield from _figures(item)
    if thing.charge is not None:
        yield f"{thing.charge}\u202f%"


def _figures(item: lithium.Cells) -> Iterator[str]:
    if item.count and item.unit:
        yield f"{item.count} × {CellUnit(item.unit).label}"
    if item.watt_hours:
        yield pointed(f"{item.watt_hours:.4g}") + "\u202fWh"
    if item.chemistry:
        yield str(Chemistry(item.chemistry).label)
