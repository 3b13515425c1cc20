"""Lines of builds as plain values, for what is tried on them."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from builds.queue.values import Line, Worker
from shop.diary.calendar import Calendar, Closed
from shop.diary.forecast import Job, Limits, Spread, Stage, Wait

LONDON = ZoneInfo("Europe/London")
NINE_TO_FIVE = (time(9), time(17))
WEEK = dict.fromkeys(range(5), NINE_TO_FIVE)
MONDAY = datetime(2026, 11, 30, 9, tzinfo=LONDON)
ODA = 7


def shop_calendar(closures: tuple[Closed, ...] = ()) -> Calendar:
    """Monday to Friday, nine to five; parcels leave on Monday and Friday until 15:00."""
    return Calendar(LONDON, time(15), WEEK, frozenset({0, 4}), closures)


def job(key: int, hours: float, sd: float = 0.0, waits: tuple[Wait, ...] = ()) -> Job:
    """A build of which one stage is left."""
    return Job(key, (Stage("install", Spread(hours, sd), waits=waits),))


def line_of(
    *jobs: Job, now: datetime = MONDAY, due: Mapping[int, date] | None = None,
    closures: tuple[Closed, ...] = (), finished: int = 20,
) -> Line:  # fmt: skip
    """A line with one person at the bench, all of whose day goes into builds."""
    awaited = {
        each.key: tuple((each.key, wait) for stage in each.stages for wait in stage.waits)
        for each in jobs
    }
    return Line(
        now=now.astimezone(UTC),
        calendar=shop_calendar(closures),
        workers=(Worker(ODA, "Oda", WEEK),),
        jobs=jobs,
        limits=Limits(),
        share=1.0,
        due=due or {},
        lines={key: waits for key, waits in awaited.items() if waits},
        new={"full": job(0, 8).stages},
        finished={"full": finished},
    )
