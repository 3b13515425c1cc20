"""What open builds wait for, as spans that the forecast can draw."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta

from builds.gates.conditions import conditions
from builds.progress.models import Build, Hold
from builds.progress.queries import open_holds
from builds.progress.states import Kind, State, Turn
from builds.queue.queries.learned import CAUSES, Known
from builds.queue.values import ANSWER, ITEM, PARTS, PAYMENT
from shop.diary.calendar import Calendar
from shop.diary.forecast import Spread, Wait
from shop.house.models import House
from shop.stores.queries.history import Lead, leads

LEAST_H = 1.0
LEAST_SD = 0.15  # no supplier keeps a day to the hour
# What a booked build still lacks, and what it waits for with that.
LACKS = {"arrived": ITEM, "agreed": ANSWER, "deposit": PAYMENT}


@dataclass(frozen=True)
class Waiting:
    """One thing that a build waits for before a stage, and the delivery that ends it, if any."""

    stage: str
    wait: Wait
    line: int | None
    fact: tuple[object, ...]  # what it is made from, without the passing of time


def waiting(
    builds: Iterable[Build], known: Known, calendar: Calendar, now: datetime
) -> dict[int, list[Waiting]]:
    """Build id → what holds it, now or before a later stage."""
    rows = list(builds)
    holds = open_holds([build.pk for build in rows])
    took = leads(
        {
            held.line.purchase.supplier_id: held.line.purchase.supplier
            for each in holds.values()
            for held in each
            if held.line
        }.values()
    )
    lacks = conditions([build.pk for build in rows if build.state == State.BOOKED])
    found: dict[int, list[Waiting]] = {}
    for build in rows:
        standing = holds.get(build.pk, [])
        here = [_held(build, held, known, took, calendar, now) for held in standing]
        unmet = {one.code for one in lacks.get(build.pk, ()) if not one.is_open}
        here += _lacking(build, unmet, standing, known, now)
        found[build.pk] = [one for one in here if _is_ahead(one.stage, build)]
    return found


def _is_ahead(stage: str, build: Build) -> bool:
    stages = [*State]
    return stages.index(State(stage)) >= stages.index(State(build.state))


def _held(
    build: Build,
    held: Hold,
    known: Known,
    took: Mapping[int, Lead],
    calendar: Calendar,
    now: datetime,
) -> Waiting:
    stage = held.before or build.state
    waited_h = _hours(held.since, now)
    purchase = held.line.purchase if held.line else None
    if purchase is None or purchase.expected_on is None:
        cause = CAUSES[held.reason]
        wait = Wait(cause, known.wait(cause), waited_h)
        return Waiting(stage, wait, held.line_id, (cause, held.pk, held.since, wait.spread))
    begun = purchase.ordered_at or held.since
    ends = datetime.combine(purchase.expected_on, time(12), calendar.zone)
    usual_h = max(_hours(begun, ends), LEAST_H)
    spread = Spread(usual_h, _log_sd(took.get(purchase.supplier_id)))
    fact = (PARTS, held.pk, begun, purchase.expected_on, spread.log_sd)
    return Waiting(stage, Wait(PARTS, spread, _hours(begun, now)), held.line_id, fact)


def _log_sd(lead: Lead | None) -> float:
    """How unsure a supplier's day is, as the spread of a lognormal of the same mean and sd."""
    if lead is None or lead.days <= 0:
        return 2 * LEAST_SD
    return max(math.sqrt(math.log1p((lead.spread_days / lead.days) ** 2)), LEAST_SD)


def _lacking(
    build: Build, unmet: set[str], holds: list[Hold], known: Known, now: datetime
) -> list[Waiting]:
    """What a booked build waits for though nobody put a hold on it."""
    told = {CAUSES[held.reason] for held in holds if held.turn == Turn.CUSTOMER}
    causes = {LACKS[code] for code in unmet & LACKS.keys()} - told
    waited_h = _hours(build.state_since, now)
    return [
        Waiting(
            State.INTAKE,
            Wait(cause, known.wait(cause), waited_h),
            None,
            (cause, build.state_since, known.wait(cause)),
        )
        for cause in sorted(causes)
    ]


def _hours(since: datetime, until: datetime) -> float:
    return max((until - since) / timedelta(hours=1), 0.0)


def lacking_at_first(kind: str, house: House) -> list[str]:
    """What a new order of a kind waits for until work begins, as a booked build does.

    A blade alone is not sent here. A deposit is awaited where the shop asks one by its rule; a
    warranty job costs nothing, so nothing is asked.
    """
    asks_deposit = house.deposit_hundredths and kind != Kind.WARRANTY
    asked = {ITEM: kind != Kind.BLADE, ANSWER: True, PAYMENT: asks_deposit}
    return [cause for cause in LACKS.values() if asked[cause]]


def usual(cause: str, known: Known) -> Wait:
    """The whole of a wait, of which nothing has passed yet."""
    return replace(Wait(cause, known.wait(cause)), waited_h=0.0)
