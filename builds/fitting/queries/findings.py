"""All that the sums found on builds, in one list: what the gate out of teardown reads."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from django.db.models import Q

from builds.engineering.findings import Finding, Level
from builds.fitting.drawing import lengths_in
from builds.fitting.fit_words import sentence as fit_sentence
from builds.fitting.layout import Layout
from builds.fitting.loads import Judged, judged
from builds.fitting.models import Decision, Plan
from builds.fitting.power_words.lacks import Missing, missing
from builds.fitting.power_words.sentences import key_of, sentence
from builds.fitting.queries.decided import Words, holding, lapsed, words_by_key
from builds.fitting.queries.fit import Verdict, asks_fit, layouts, verdict
from builds.fitting.queries.power import wants_of
from builds.progress.models import Build
from shop.house.models import House
from shop.web.reading import each_once, keeping

POWER, FIT = "power", "fit"
BY_KIT = frozenset({"full-white"})  # decided once for all builds of a kit


@dataclass(frozen=True)
class Said:
    """A finding in words; ``decision``: that it was looked at and accepted, by whom and why.

    ``lapsed`` is a decision that was taken on better figures than today's, ``taken_on`` what the
    finding was when either was taken, where that reads otherwise than today.
    """

    level: Level
    code: str
    key: str
    text: str
    decision: Decision | None = None
    page: str = POWER  # whose sums found it
    figures: Mapping[str, Any] = field(default_factory=dict)
    lapsed: Decision | None = None
    taken_on: str = ""
    sum: str = ""  # the name of the sum that it rests on, where that is told
    about: str = ""  # what it was found at

    @property
    def is_open(self) -> bool:
        """Whether somebody still has to decide."""
        return self.level is Level.DECIDE and self.decision is None

    @property
    def is_by_kit(self) -> bool:
        """Whether a decision holds for every build of the kit."""
        return self.code in BY_KIT


@dataclass(frozen=True)
class Found:
    """What stands between a build and its way out of teardown."""

    judged: Judged
    plan: Plan | None
    said: tuple[Said, ...]
    missing: tuple[Missing, ...]
    fit: Verdict | None = None  # None where no fit is asked for

    @property
    def stops(self) -> list[Said]:
        """What stops the build by its power; by its fit, see there."""
        return self._of_power(Level.STOPS)

    @property
    def stops_of_fit(self) -> list[Said]:
        """What stops the build by its fit."""
        return [each for each in self.said if each.level is Level.STOPS and each.page == FIT]

    def _of_power(self, level: Level) -> list[Said]:
        return [each for each in self.said if each.level is level and each.page == POWER]

    @property
    def to_decide(self) -> list[Said]:
        """What somebody still has to decide."""
        return [each for each in self.said if each.is_open]

    @property
    def decided(self) -> list[Said]:
        """What was decided."""
        return [each for each in self.said if each.level is Level.DECIDE and each.decision]

    @property
    def worth_knowing(self) -> list[Said]:
        """What stops nobody, of the power."""
        return self._of_power(Level.KNOW)

    @property
    def unanswered(self) -> list[Missing]:
        """What is missing for an answer, apart from slots, which are asked for by themselves."""
        return [each for each in self.blocking if each.code != "no-slot"]

    @property
    def blocking(self) -> list[Missing]:
        """What is missing so that there is no answer."""
        return [each for each in self.missing if each.blocks]


def findings_of(builds: Iterable[Build], shop: House, series: str = "E24") -> dict[int, Found]:
    """Build id → what the sums found, in a constant number of queries."""
    with keeping(), lengths_in(shop.length_unit):
        return _findings_of(builds, shop, series)


def _findings_of(builds: Iterable[Build], shop: House, series: str) -> dict[int, Found]:
    builds = list(builds)
    ids = [build.pk for build in builds]
    wants, plans, decided = wants_of(ids, shop), plans_of(ids), decisions_of(ids)
    laid = layouts(build for build in builds if _asks_fit(build, plans))
    found = {}
    for build in builds:
        plan = plans.get(build.pk)
        power = judged(wants[build.pk], series)
        words = words_by_key(decided, build.pk, plan)
        layout = laid.get(build.pk)
        found[build.pk] = Found(
            judged=power,
            plan=plan,
            said=(*_said(power, words), *(said_of_fit(layout, words) if layout else ())),
            missing=tuple(missing(lack, build.number) for lack in power.lacks),
            fit=verdict(layout) if layout else None,
        )
    return found


def _said(power: Judged, words: Words) -> tuple[Said, ...]:
    return tuple(_one(each, words, sentence, POWER) for each in power.findings)


def said_of_fit(layout: Layout, words: Words) -> Iterable[Said]:
    """What a layout found, with what was decided on it."""
    for each in layout.findings:
        yield replace(_one(each, words, _fit_text, FIT), sum=fit_sentence(each).sum)


def _fit_text(found: Finding) -> str:
    told = fit_sentence(found)
    return f"{told.head} {told.rest}".strip()


def _one(found: Finding, words: Words, told: Callable[[Finding], str], page: str) -> Said:
    text, key = told(found), key_of(found)
    rows = words.get(key, ())
    decision = holding(rows, found)
    old = None if decision else lapsed(rows)
    taken = decision or old
    before = told(replace(found, figures=taken.figures)) if taken and taken.figures else text
    return Said(
        found.level, found.code, key, text, decision, page, dict(found.figures), old,
        before if before != text else "", about=found.about,
    )  # fmt: skip


def _asks_fit(build: Build, plans: Mapping[int, Plan]) -> bool:
    plan = plans.get(build.pk)
    return asks_fit(build.kind, plan.chassis if plan else "")


def plans_of(build_ids: Iterable[int]) -> dict[int, Plan]:
    """Build id → what is planned for it, for those that have a plan."""
    return each_once(plans_of, _plans_of, build_ids)


def _plans_of(ids: list[int]) -> dict[int, Plan]:
    return {
        plan.build_id: plan for plan in Plan.objects.filter(build__in=ids).select_related("kit")
    }


def decisions_of(ids: list[int]) -> list[Decision]:
    """What was decided on builds or on their kits, the oldest first."""
    # Kits by their ids: a join to all plans would read every decision that was ever taken.
    kits = Plan.objects.filter(build__in=ids, kit__isnull=False).values("kit")
    on_builds = Decision.objects.filter(build__in=ids).values("pk")
    on_kits = Decision.objects.filter(kit__in=kits).values("pk")
    rows = Decision.objects.filter(Q(pk__in=on_builds) | Q(pk__in=on_kits))
    return list(rows.select_related("by", "kit").order_by("at", "id"))
