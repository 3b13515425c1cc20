"""All that the sums found on builds, in one list: what the gate out of teardown reads."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import Q

from builds.engineering.findings import Level
from builds.fitting.fit_words import sentence as fit_sentence
from builds.fitting.layout import Layout
from builds.fitting.loads import Judged, judged
from builds.fitting.models import Decision, Plan
from builds.fitting.power_words.lacks import Missing, missing
from builds.fitting.power_words.sentences import key_of, sentence
from builds.fitting.queries.fit import Verdict, asks_fit, layouts, verdict
from builds.fitting.queries.power import wants_of
from builds.progress.models import Build
from shop.house.models import House

POWER, FIT = "power", "fit"
BY_KIT = frozenset({"full-white"})  # decided once for all builds of a kit


@dataclass(frozen=True)
class Said:
    """A finding in words; ``decision``: that it was looked at and accepted, by whom and why."""

    level: Level
    code: str
    key: str
    text: str
    decision: Decision | None = None
    page: str = POWER  # whose sums found it
    about: str = ""  # at what

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
    builds = list(builds)
    ids = [build.pk for build in builds]
    wants, plans, decided = wants_of(ids, shop), _plans(ids), _decided(ids)
    laid = layouts(build for build in builds if _asks_fit(build, plans))
    found = {}
    for build in builds:
        plan = plans.get(build.pk)
        power = judged(wants[build.pk], series)
        words = _decisions(decided, build.pk, plan)
        layout = laid.get(build.pk)
        found[build.pk] = Found(
            judged=power,
            plan=plan,
            said=(*_said(power, words), *(_said_of_fit(layout, words) if layout else ())),
            missing=tuple(missing(lack, build.number) for lack in power.lacks),
            fit=verdict(layout) if layout else None,
        )
    return found


def _said(power: Judged, words: Mapping[str, Decision]) -> tuple[Said, ...]:
    return tuple(
        Said(
            each.level,
            each.code,
            key_of(each),
            sentence(each),
            words.get(key_of(each)),
            about=each.about,
        )
        for each in power.findings
    )


def _said_of_fit(layout: Layout, words: Mapping[str, Decision]) -> Iterable[Said]:
    for each in layout.findings:
        told, key = fit_sentence(each), key_of(each)
        text = f"{told.head} {told.rest}".strip()
        yield Said(each.level, each.code, key, text, words.get(key), FIT, each.about)


def _asks_fit(build: Build, plans: Mapping[int, Plan]) -> bool:
    plan = plans.get(build.pk)
    return asks_fit(build.kind, plan.chassis if plan else "")


def _plans(ids: list[int]) -> dict[int, Plan]:
    return {
        plan.build_id: plan for plan in Plan.objects.filter(build__in=ids).select_related("kit")
    }


def _decided(ids: list[int]) -> list[Decision]:
    of_kits = Q(kit__plans__build__in=ids)
    rows = Decision.objects.filter(Q(build__in=ids) | of_kits).select_related("by", "kit")
    return list(rows.distinct().order_by("at", "id"))


def _decisions(rows: Iterable[Decision], build_id: int, plan: Plan | None) -> dict[str, Decision]:
    """Key → the newest decision that holds for a build, its own or its kit's."""
    kit = plan.kit_id if plan else None
    return {
        row.code: row
        for row in rows
        if row.build_id == build_id or (kit is not None and row.kit_id == kit)
    }
