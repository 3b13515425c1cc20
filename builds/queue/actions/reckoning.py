"""Runs the forecast over the whole line and keeps what it says, one version after the other."""

from datetime import date, datetime, timedelta
from time import perf_counter

from django.db import transaction
from django.db.models import Q

from builds.queue.models import Outlook, Reckoning
from builds.queue.queries.line import line
from builds.queue.queries.outlooks import STALE
from builds.queue.remedies import Found, remedies
from builds.queue.values import GRID, RUNS, Line, reckoned
from shop.diary import forecast
from shop.diary.forecast import ODDS
from shop.house.queries import house

KEPT = timedelta(minutes=30)  # for a page that began to read an older one
UNMARKED = ""
TASK = "builds.queue.tasks.reckon"


def reckon(now: datetime) -> Reckoning:
    """Walk the line unless the newest run still holds; two at once do no harm."""
    found = line(now)
    if standing := _standing(found):
        return standing
    begun = perf_counter()
    seen = reckoned(found)
    helps = remedies(found, seen, house().least_odds_percent / 100)
    return _keep(found, found.mark, seen, helps, begun)


def reckon_at_once(now: datetime) -> Reckoning:
    """Walk the line for a page that waits, without what helps: that takes seconds.

    The run bears no mark, so that the task that follows makes another, with what helps.
    """
    found = line(now)
    if standing := _standing(found):
        return standing
    begun = perf_counter()
    return _keep(found, UNMARKED, reckoned(found), {}, begun)


def _standing(found: Line) -> Reckoning | None:
    """The newest run, if it was made from the same facts and not long ago."""
    newest = Reckoning.objects.order_by("-pk").first()
    # A clock that was set back must not keep what it made in what is now to come.
    if newest and newest.mark == found.mark and abs(found.now - newest.made_at) < STALE:
        return newest
    return None


@transaction.atomic
def _keep(
    found: Line, mark: str, seen: dict[int, forecast.Outlook], helps: dict[int, Found],
    begun: float,
) -> Reckoning:  # fmt: skip
    took_ms = round((perf_counter() - begun) * 1000)
    run = Reckoning.objects.create(made_at=found.now, mark=mark, runs=RUNS, took_ms=took_ms)
    Outlook.objects.bulk_create(
        _row(run, place, seen[job.key], found, helps.get(job.key))
        for place, job in enumerate(found.jobs, 1)
    )
    too_old, to_come = Q(made_at__lt=found.now - KEPT), Q(made_at__gt=found.now)
    # What is to come was made by a clock that was ahead, and is none of the newest.
    Reckoning.objects.filter(too_old | to_come).delete()
    return run


def _row(
    run: Reckoning, place: int, seen: forecast.Outlook, found: Line, helps: Found | None
) -> Outlook:
    days = [None if day is None else _date(day) for day in seen.days[: len(ODDS)]]
    due = found.due.get(seen.key)
    if found.is_done(seen.key) and not seen.odds:
        due = None  # its work is over: that it leaves too late is no matter of chance any more
    return Outlook(
        reckoning=run,
        build_id=seen.key,
        place=place,
        day_50=days[0],
        day_80=days[1],
        day_95=days[2],
        moments=[_minute(moment) for moment in seen.finish_min[-len(GRID):]],
        odds=None if due is None else seen.odds,
        due=due,
        waits_h={cause: round(hours, 1) for cause, hours in seen.waits_h.items()},
        drives=seen.drives,
        behind=found.finished.get(found.kinds[seen.key], 0),
        remedy=helps.remedy if helps else "",
        remedy_with=helps.facts if helps else {},
        remedy_odds=helps.odds if helps else None,
    )  # fmt: skip


def _date(ordinal: int) -> date:
    return date.fromordinal(ordinal)


def _minute(moment: float | None) -> int | None:
    return None if moment is None else round(moment)
