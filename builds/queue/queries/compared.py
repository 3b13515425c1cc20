"""Two lines side by side as finished data: what a change does to every build."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.progress.models import Build
from builds.progress.queries import open_builds
from builds.queue.effects import Effect, Sight, effects, sights
from builds.queue.queries.words import day_words, percent_words, range_words
from builds.queue.values import NEW, Line
from shop.diary.learned import ENOUGH
from shop.house.queries import house


@dataclass(frozen=True)
class Changed:
    """One build before and after, in words."""

    build: Build
    name: str
    url: str
    told: str  # the day that is due
    odds: tuple[str, str] | None
    days: tuple[str, str]
    tone: str
    word: str
    is_subject: bool


@dataclass(frozen=True)
class Compared:
    """What a change does: what gets worse first, then what gets better; the rest is counted."""

    rows: list[Changed]
    worse: int
    better: int
    same: int

    @property
    def is_nothing(self) -> bool:
        """Whether nothing changes for anybody."""
        return not self.worse and not self.better


def compared(before: Line, after: Line, subject: int | None = None) -> Compared:
    """Walk both lines with the same draws and say what differs."""
    return told(before, sights(before), sights(after), subject)


def told(
    line: Line, before: Mapping[int, Sight], after: Mapping[int, Sight], subject: int | None = None
) -> Compared:
    """What differs between two sights of a line, in words.

    Odds are told by the same rule as on the page of dates: not while a build waits for its
    customer, whose days move its own along, nor below ten finished builds of a kind.

    :param subject: a build that is told of whether anything changes for it or not.
    """
    before, after = _without_odds(before, line), _without_odds(after, line)
    builds = {build.pk: build for build in open_builds()}
    found = [one for one in effects(before, after) if one.key != NEW and one.key in builds]
    shown = [one for one in found if one.is_changed or one.key == subject]
    rows = [_changed(one, builds[one.key], line, one.key == subject) for one in shown]
    worse = [one for one in found if one.is_changed and _is_worse(one)]
    changed = [one for one in found if one.is_changed]
    return Compared(rows, len(worse), len(changed) - len(worse), len(found) - len(shown))


def _without_odds(seen: Mapping[int, Sight], line: Line) -> dict[int, Sight]:
    return {
        key: replace(one, odds=None) if key in line.moving or _is_young(line, key) else one
        for key, one in seen.items()
    }


def _is_young(line: Line, key: int) -> bool:
    return line.finished.get(line.kinds.get(key, ""), 0) < ENOUGH


def _is_worse(one: Effect) -> bool:
    return one.change < 0 if one.is_marked else one.days_later > 0


def _changed(one: Effect, build: Build, line: Line, is_subject: bool) -> Changed:
    is_young = line.finished.get(build.kind, 0) < ENOUGH
    due = line.due.get(one.key)
    about = build.hilt or build.blade
    odds = None
    if one.before.odds is not None and one.after.odds is not None:
        odds = (percent_words(one.before.odds), percent_words(one.after.odds))
    tone, word = _word(one)
    return Changed(
        build=build,
        name=about.name if about else _("Blade only"),
        url=reverse("bench_sheet", args=[build.number]),
        told=_told(due, one.key in line.moving),
        odds=odds,
        days=(_days(one.before, is_young), _days(one.after, is_young)),
        tone=tone,
        word=word,
        is_subject=is_subject,
    )


def _told(due: date | None, is_moving: bool) -> str:
    if due is None:
        return ""
    return _("%s, moves along") % day_words(due) if is_moving else day_words(due)


def _days(seen: Sight, is_young: bool) -> str:
    if not is_young:
        return day_words(seen.by_80)
    return range_words(seen.early, seen.by_95)


def _word(one: Effect) -> tuple[str, str]:
    """What the change comes to, and its tone."""
    least = house().least_odds_percent / 100
    if not one.is_changed:
        return "quiet", _("as before")
    if not one.is_marked:
        return ("brass", _("later")) if one.days_later > 0 else ("met", _("sooner"))
    if one.change < 0:
        falls = one.before.odds is not None and one.before.odds >= least > (one.after.odds or 0.0)
        return ("stop", _("now in danger")) if falls else ("stop", _("less likely"))
    rises = one.after.odds is not None and one.after.odds >= least > (one.before.odds or 0.0)
    return ("met", _("out of danger")) if rises else ("met", _("more likely"))
