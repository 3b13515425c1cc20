"""How promises were kept: by month, by what was said of them, and every one of them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import sqrt

from django.db.models import Avg, Case, Count, F, IntegerField, Max, Q, QuerySet, Sum, Value, When
from django.db.models.functions import TruncMonth

from builds.progress.models import Build
from builds.progress.states import FINISHED
from builds.queue.models import Outcome, Promise
from builds.queue.states import percent

MONTHS = 24
ON_THE_CHART = 12
FEW = 10  # below so many, a share is mostly chance
HELD = Q(left_on__lte=F("due"))
# Odds from one edge up to the next stand in one line of the table.
EDGES = (0.0, 0.35, 0.55, 0.65, 0.75, 0.85, 0.95, 1.01)


@dataclass(frozen=True)
class Counted:
    """Builds that left in some time, and what had become of their days."""

    builds: int = 0
    held_first: int = 0
    held_last: int = 0
    changes: int = 0
    moved_days: int = 0

    @property
    def is_few(self) -> bool:
        """Whether it is too few to say a share of."""
        return self.builds < FEW

    @property
    def percent_first(self) -> int:
        """Left by the day that was told first."""
        return round(100 * self.held_first / self.builds) if self.builds else 0

    @property
    def percent_last(self) -> int:
        """Left by the day that stood as it left."""
        return round(100 * self.held_last / self.builds) if self.builds else 0

    @property
    def days_a_change(self) -> float:
        """By how many days a change moved the day, on average."""
        return self.moved_days / self.changes if self.changes else 0.0


@dataclass(frozen=True)
class Month:
    """One month."""

    first: date
    counted: Counted


@dataclass(frozen=True)
class Bin:
    """Promises of like odds: how sure they were said to be, and how many held."""

    low: float
    high: float
    promises: int
    said: float
    held: int

    @property
    def is_few(self) -> bool:
        """Whether it is too few to judge by."""
        return self.promises < FEW

    @property
    def percent_said(self) -> int:
        """How sure they were said to be, on average."""
        return percent(self.said)

    @property
    def percent_held(self) -> int:
        """How many held, of a hundred."""
        return round(100 * self.held / self.promises)

    @property
    def verdict(self) -> str:
        """``few``, or whether more, fewer or as many held as was said; chance is allowed for."""
        if self.is_few:
            return "few"
        chance = 2 * sqrt(max(self.said * (1 - self.said), 0.01) / self.promises)
        off = self.held / self.promises - self.said
        return "as-said" if abs(off) <= chance else "more" if off > 0 else "fewer"


@dataclass(frozen=True)
class Told:
    """One promise, and what became of it."""

    promise: Promise
    outcome: Outcome | None
    stands: bool  # the newest of a build that is open
    is_counted: bool

    @property
    def is_held(self) -> bool:
        """Whether the build left in time."""
        return self.outcome is not None and self.outcome.left_on <= self.outcome.due

    @property
    def late_days(self) -> int:
        """By how many days it missed."""
        return (self.outcome.left_on - self.outcome.due).days if self.outcome else 0


def first_month(today: date) -> date:
    """The first day of the months that are looked at."""
    months = today.year * 12 + today.month - MONTHS
    return date(months // 12, months % 12 + 1, 1)


def by_month(today: date) -> list[Month]:
    """The months of two years in which anything left, the newest first, in one query."""
    changed = Q(is_first=False) & ~Q(moved_days=0)
    rows = (
        Outcome.objects.filter(left_on__gte=first_month(today))
        .annotate(month=TruncMonth("left_on"))
        .order_by("-month")
        .values_list("month")
        .annotate(
            builds=Count("pk", filter=Q(is_last=True)),
            first=Count("pk", filter=Q(is_first=True) & HELD),
            last=Count("pk", filter=Q(is_last=True) & HELD),
            changes=Count("pk", filter=changed),
            days=Sum("moved_days", filter=changed, default=0),
        )
    )
    return [Month(month, Counted(*counts)) for month, *counts in rows]


def in_all(months: Sequence[Month]) -> Counted:
    """All months together."""
    each = [month.counted for month in months]
    return Counted(
        sum(one.builds for one in each),
        sum(one.held_first for one in each),
        sum(one.held_last for one in each),
        sum(one.changes for one in each),
        sum(one.moved_days for one in each),
    )


def calibration(today: date) -> list[Bin]:
    """Of promises said to be so sure, how many held; in one query."""
    place = Case(
        *(When(promise__odds__lt=high, then=Value(at)) for at, high in enumerate(EDGES[1:])),
        output_field=IntegerField(),
    )
    rows = (
        Outcome.objects.filter(left_on__gte=first_month(today), promise__odds__isnull=False)
        .annotate(place=place)
        .order_by("place")
        .values_list("place")
        .annotate(n=Count("pk"), said=Avg("promise__odds"), held=Count("pk", filter=HELD))
    )
    return [
        Bin(EDGES[at], min(EDGES[at + 1], 1.0), promises, said, held)
        for at, promises, said, held in rows
    ]


def all_told() -> QuerySet[Promise]:
    """Every promise and every change of one, the newest first."""
    return Promise.objects.select_related("build__hilt", "build__blade", "by", "outcome").order_by(
        "-pk"
    )


def told(found: Sequence[Promise]) -> list[Told]:
    """What became of some promises, in one query more."""
    builds = [promise.build_id for promise in found]
    newest: Mapping[int, int] = dict(
        Promise.objects.filter(build__in=builds)
        .order_by()
        .values_list("build")
        .annotate(newest=Max("pk"))
    )
    return [_told(promise, newest) for promise in found]


def _told(promise: Promise, newest: Mapping[int, int]) -> Told:
    build: Build = promise.build
    outcome = getattr(promise, "outcome", None)
    is_newest = newest[build.pk] == promise.pk
    is_counted = build.is_open or build.state in FINISHED
    return Told(promise, outcome, build.is_open and is_newest, is_counted)


@dataclass(frozen=True)
class Bar:
    """One month on the chart: a bar for the day last told, a tick for the day first told."""

    first: date
    x: int
    top: int
    height: int
    tick: int
    words: str
    has_any: bool


CHART_HIGH = 100
SLOT = 30


def bars(months: Sequence[Month], today: date, words: Mapping[date, str]) -> list[Bar]:
    """The last twelve months from the first with anything, the oldest first; gaps stay empty."""
    known = {month.first: month.counted for month in months}
    begun = min((first for first, counted in known.items() if counted.builds), default=today)
    found: list[Bar] = []
    for at in range(ON_THE_CHART):
        number = today.year * 12 + today.month - ON_THE_CHART + at
        first = date(number // 12, number % 12 + 1, 1)
        if first < begun.replace(day=1):
            continue
        counted = known.get(first, Counted())
        high = CHART_HIGH * counted.held_last // max(counted.builds, 1)
        tick = CHART_HIGH - CHART_HIGH * counted.held_first // max(counted.builds, 1)
        found.append(
            Bar(
                first, SLOT * len(found), CHART_HIGH - high, high, tick, words.get(first, ""),
                bool(counted.builds),
            )
        )  # fmt: skip
    return found
