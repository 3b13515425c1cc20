"""Whether a parcel may go by its service, and why: the classing of what is known of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from builds.dispatch.models import CarrierRule, Parcel, Service
from builds.dispatch.queries.cells import Contents, Thing, contents_of
from builds.dispatch.reach import why_not_there
from builds.dispatch.states import NEVER_BY_RULE, Class, Mode
from builds.engineering import lithium
from builds.engineering.lithium import Reason, Sentence, Verdict
from shop.diary.queries import Calendar
from shop.web.dated import dated

_BY: Mapping[str, object] = {
    Mode.US_GROUND: gettext_lazy("by road in the United States"),
    Mode.ADR_ROAD: gettext_lazy("by road"),
    Mode.AIR: gettext_lazy("by air"),
    Mode.USPS_DOMESTIC_SURFACE: gettext_lazy("by United States post, by surface"),
    Mode.USPS_DOMESTIC_AIR: gettext_lazy("by United States post, by air"),
    Mode.USPS_ABROAD: gettext_lazy("by United States post, abroad"),
}
_TOO_LIGHT = gettext_lazy("The parcel weighs less than its cells. Weigh it again.")


@dataclass(frozen=True)
class Classing:
    """What the classing of one parcel says, and what it was said of.

    ``lacks`` is what must be said before it can be classed at all. ``not_there`` says why its
    service does not get where it goes. ``rules`` are the carrier's own written words that answer
    a reason.
    """

    contents: Contents
    on: date
    service: Service | None = None
    classed: lithium.Classed | None = None
    lacks: tuple[str, ...] = ()
    rules: tuple[CarrierRule, ...] = ()
    not_there: str = ""

    @property
    def state(self) -> Class:
        """What becomes of the parcel."""
        if self.not_there and not self.lacks:
            return Class.REFUSED
        if self.classed is None:
            return Class.MISSING
        if not self.contents.along:
            return Class.NOTHING
        if self.classed.allowed:
            return Class.ALLOWED
        weights = {reason.verdict for reason in self.open_reasons}
        if not weights:
            return Class.BY_RULE
        return Class.MISSING if weights == {Verdict.MISSING_DATA} else Class.REFUSED

    @property
    def may_go(self) -> bool:
        """Whether it may leave."""
        return self.state in {Class.ALLOWED, Class.NOTHING, Class.BY_RULE}

    @property
    def unsafe(self) -> list[Thing]:
        """Those of which nobody said where the cell is and how its ends are safe."""
        return [thing for thing in self.contents.things if not thing.is_answered]

    @property
    def open_reasons(self) -> tuple[Reason, ...]:
        """What speaks against it and no carrier's rule answers."""
        answered = {rule.code for rule in self.rules}
        against = self.classed.against if self.classed else ()
        return tuple(row for row in against if row.sentence.code not in answered)

    def answered_by(self, rule: CarrierRule) -> list[str]:
        """The reasons that a carrier's rule answers, in words."""
        against = self.classed.against if self.classed else ()
        return [said(row.sentence) for row in against if row.sentence.code == rule.code]

    @property
    def head(self) -> str:
        """The verdict in a few plain words."""
        if self.state == Class.NOTHING:
            return _("No lithium in it: it may go")
        if self.state == Class.MISSING:
            return _("Not classed yet")
        by = {"by": self.by}
        if self.state == Class.REFUSED:
            return _("Refused %(by)s") % by
        if self.state == Class.BY_RULE:
            day = dated(self.rules[0].written_on, "full")
            return _("Allowed by the carrier’s own rule of %s") % day
        return _("May go %(by)s") % by

    @property
    def by(self) -> str:
        """By which way, in words."""
        return str(_BY[self.service.mode]) if self.service else ""

    @property
    def why_not(self) -> list[str]:
        """What stands against its leaving, sentence by sentence; empty where nothing does."""
        first = [self.not_there] if self.not_there else []
        return [*first, *self.lacks, *(said(row.sentence) for row in self.open_reasons)]

    @property
    def in_words(self) -> str:
        """Verdict and reasons in one line."""
        why = " ".join(self.why_not)
        return _("%(verdict)s: %(why)s") % {"verdict": self.head, "why": why} if why else self.head


def said(sentence: Sentence) -> str:
    """A sentence of the classing, in the reader's language."""
    return _(sentence.template) % sentence.figures


def classing_of(parcel: Parcel, on: date) -> Classing:
    """The class of one parcel on the day that it leaves."""
    return classings([parcel], {parcel.pk: on})[parcel.pk]


def classings(parcels: Sequence[Parcel], days: Mapping[int, date]) -> dict[int, Classing]:
    """Parcel id → its class on the day that it leaves, in a constant number of queries."""
    contents = contents_of(parcels, days)
    services = Service.objects.in_bulk({row.service_id for row in parcels if row.service_id})
    rules = rules_of(services)
    found = {}
    for parcel in parcels:
        service = services.get(parcel.service_id or 0)
        own = rules.get(parcel.service_id or 0, ())
        found[parcel.pk] = classed(contents[parcel.pk], service, own, days[parcel.pk])
    return found


def as_the_gate_asks(parcels: Iterable[Parcel], calendar: Calendar) -> dict[int, Classing]:
    """The classes on the day that each is to leave; of one that just left, on that day."""
    rows = list(parcels)
    if not rows:
        return {}
    return classings(
        rows, {row.pk: calendar.today(row.left_at) if row.left_at else row.day for row in rows}
    )


def rules_of(service_ids: Iterable[int]) -> dict[int, list[CarrierRule]]:
    """Service id → the carrier's written rules that were not withdrawn."""
    found: dict[int, list[CarrierRule]] = {}
    rows = CarrierRule.objects.filter(service__in=list(service_ids), withdrawn_at=None)
    for row in rows.filter(~Q(code__in=NEVER_BY_RULE)).order_by("written_on", "pk"):
        found.setdefault(row.service_id, []).append(row)
    return found


def holds_on(rule: CarrierRule, day: date) -> bool:
    """Whether a carrier's rule is valid on a day."""
    return rule.written_on <= day and (rule.valid_until is None or day <= rule.valid_until)


def classed(
    contents: Contents, service: Service | None, rules: Iterable[CarrierRule], on: date
) -> Classing:
    """The class of what is known of a parcel, by a service, on a day."""
    lacks = [
        (
            _("Cells came in or out of %s since. Say again where they are, and how safe.")
            if thing.is_overtaken
            else _("Say where the cell of %s is, and how its ends are safe.")
        )
        % thing.name
        for thing in contents.things
        if not thing.is_answered
    ]
    lacks += [
        _("“%s” goes back beside the hilt, and nobody can class it. Say that it stays.") % what
        for what in contents.loose
    ]
    if service is None and contents.along:
        lacks.append(_("Choose the service first: the rules follow from how it travels."))
    not_there = why_not_there(service.mode, contents.home, contents.to) if service else ""
    if lacks or not_there:
        return Classing(contents, on, service, lacks=tuple(lacks), not_there=not_there)
    try:
        parcel = contents.parcel
    except ValueError:  # its net weight is over its gross weight
        return Classing(contents, on, service, lacks=(str(_TOO_LIGHT),))
    mode = service.mode if service else Mode.ADR_ROAD  # without lithium all ways are one
    result = lithium.classify(parcel, lithium.Mode(mode), on)
    codes = {reason.sentence.code for reason in result.against} - set(NEVER_BY_RULE)
    answering = [rule for rule in rules if rule.code in codes and holds_on(rule, on)]
    return Classing(contents, on, service, result, rules=tuple(answering))


def frozen(classing: Classing) -> dict[str, Any]:
    """What was said of a parcel as it left, in data that stay readable when rules change."""
    result = classing.classed
    kept: dict[str, Any] = {
        "state": classing.state.value,
        "verdict": classing.head,
        "why_not": classing.why_not,
        "on": classing.on.isoformat(),
        "service": str(classing.service or ""),
        "mode": classing.service.mode if classing.service else "",
        "packages": classing.contents.packages,
        "cells": [_frozen_thing(thing) for thing in classing.contents.things],
        "carrier_rules": [
            {
                "words": row.words,
                "source": row.source,
                "written_on": row.written_on.isoformat(),
                "answers": classing.answered_by(row),
            }
            for row in classing.rules
        ],
    }
    if result is None:
        return kept
    return kept | {
        "un": result.un,
        "rule": result.rule,
        "mark": result.mark.value,
        "texts": list(result.texts),
        "reasons": [said(row) for row in result.reasons],
        "cautions": [said(row) for row in result.cautions],
        "editions": [[row.code, row.source, row.edition] for row in result.limits],
        "checked_on": lithium.CHECKED_ON.isoformat(),
    }


def _frozen_thing(thing: Thing) -> dict[str, Any]:
    answer = thing.answer
    return {
        "of": thing.name,
        "stowage": thing.stowage,
        "ends": answer.terminals if answer else "",
        "charge": thing.charge,
    }
