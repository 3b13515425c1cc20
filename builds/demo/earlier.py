"""Finished work of the demo from before: full installs with their hours, days told, and odds.

Plain: booked, worked through, collected. It is what the forecast has learned from.
"""

from dataclasses import dataclass
from datetime import timedelta

from builds.demo import timed
from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.demo.people import CUSTOMERS
from builds.desk.actions import orders as desk
from builds.progress.actions import move, put
from builds.progress.models import Build, Place
from builds.progress.states import ON_THE_RULE, Kind, Leaves, State
from builds.queue.actions import promise_with
from shop.people.models import Customer

_DAY = timedelta(days=1)
# How many working days before its end a build went on to the next stage.
GOES_ON = {State.INTAKE: 9, State.TEARDOWN: 7, State.INSTALL: 5, State.TEST: 1, State.DISPATCH: 0}


@dataclass(frozen=True)
class Told:
    """A day told so many working days before the end, by so many days later than it; its odds."""

    before: int
    off: int
    odds: float
    reason: str = ""


@dataclass(frozen=True)
class Past:
    """One finished job: whose, which hilt, when it was collected, and what was promised."""

    who: str
    hilt: str
    ended: int
    told: tuple[Told, ...]
    hand: str = "jory"


PAST = (
    Past("callum", "Alder Fen", 48, (Told(10, 4, 0.83),), "oda"),
    Past("tamsin", "Brackwater", 46, (Told(10, 2, 0.82),)),
    Past("piotr", "Candlewick Nine", 44, (Told(10, 7, 0.91),), "oda"),
    Past("wanjiru", "Dunmarrow", 41, (Told(10, -6, 0.78), Told(4, 1, 0.93, "switch came late"))),
    Past("rafael", "Eel Gate", 39, (Told(10, 5, 0.84),), "oda"),
    Past("meera", "Far Lantern", 36, (Told(10, 1, 0.8),)),
    Past("callum", "Gorse Hollow", 33, (Told(10, 3, 0.82),)),
    Past("tamsin", "Hob Landing", 30, (Told(10, -4, 0.81),), "oda"),
    Past("piotr", "Ironwick", 27, (Told(10, 6, 0.95),)),
    Past("sunniva", "Juniper Stair", 24, (Told(10, 2, 0.79),), "oda"),
    Past("wanjiru", "Linnet Row", 19, (Told(10, -8, 0.76), Told(5, 2, 0.9, "a joint was stuck"))),
    Past("rafael", "Mallow Deep", 15, (Told(10, 4, 0.84),)),
    Past("meera", "Nettle Bridge", 12, (Told(9, 1, 0.83),), "oda"),
    Past("callum", "Otter Sill", 9, (Told(9, 3, 0.81),)),
)


def work(crew: Crew, days: Days) -> dict[str, Customer]:
    """Take every one of them through the shop.

    :returns: the customers that are known by then.
    """
    known: dict[str, Customer] = {}
    for past in PAST:
        known[past.who] = _go(past, known.get(past.who), crew, days)
    return known


def _go(past: Past, customer: Customer | None, crew: Crew, days: Days) -> Customer:
    booked = days.back(past.ended + 11, 11, 20)
    wanted = desk.Job(
        kind=Kind.FULL, leaves_by=Leaves.COLLECTION, wanted="Full install, as agreed.",
        hilt_name=past.hilt, promise_day=None, agreed_how="person",
    )  # fmt: skip
    order = desk.book_job(
        wanted, customer=customer or CUSTOMERS[past.who], token=token("earlier", past.hilt),
        by=crew.oda, now=booked, price_note="", needed_by=None,
    )  # fmt: skip
    build = Build.objects.get(item__order=order)
    _work(build, past, crew, days)
    return order.customer


def _work(build: Build, past: Past, crew: Crew, days: Days) -> None:
    by, shelf = crew.named(past.hand), Place.objects.first()
    ends = days.back(past.ended).date()
    ahead = {past.ended + each.before: each for each in past.told}
    moments = {past.ended + ago: stage for stage, ago in GOES_ON.items()}
    _move(build, State.INTAKE, crew, days, past.ended + 10)
    put(build.pk, tray=None, place=shelf, by=by, now=days.back(past.ended + 10, 10, 30))
    for ago in sorted({*ahead, *moments}, reverse=True):
        if told := ahead.get(ago):
            day = days.calendar.on_or_after(ends + told.off * _DAY) or ends
            promise_with(
                build, day, told.odds, reason=told.reason, by=crew.oda, now=days.back(ago, 9, 40)
            )
        if stage := moments.get(ago):
            build.refresh_from_db()
            timed.stage(build, by, days, ago)
            after = [*ON_THE_RULE, State.COLLECTED][ON_THE_RULE.index(stage) + 1]
            _move(build, after, crew, days, ago)


def _move(build: Build, to: State, crew: Crew, days: Days, ago: int) -> None:
    build.refresh_from_db()
    mark = token("earlier", build.number, to)
    now = days.back(ago, 16)
    move(build.pk, token=mark, expected=build.state, to=to, by=crew.jory, now=now)
