"""Fills an empty shop with the demo and, before it, ten years of builds that have ended."""

import random
from collections import Counter as Count
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import islice

from django.db import transaction
from django.db.models import Max, Model

from builds.demo import drawing
from builds.demo.days import Days
from builds.demo.fill import Draw, Filled
from builds.demo.fill import fill as fill_demo
from builds.demo.house import Crew
from builds.demo.past.bundle import children_first
from builds.demo.past.done_once import tales
from builds.demo.past.jobs import TALES
from builds.demo.past.told_again import Form, Numbers, Teller
from builds.demo.past.writing import go_on, take_room, write
from builds.demo.people import HAND, OWNER
from builds.models import Build
from shop.diary.queries import calendar
from shop.house.models import Counter, House
from shop.house.queries import house
from shop.people.models import Customer, User
from shop.post.models import PrivateLink
from shop.stores.models import Deed, StockRow

WEEKS = 520
AT_ONCE = 100  # tales told in one transaction: what is held in memory at a time
LEAST = 60  # builds: the demo's own, and some that have ended
Say = Callable[[str], None]


def fill_past(
    now: datetime, address: str, builds: int, seed: int, say: Say, draw: Draw = drawing.picture
) -> Filled:
    """Make a shop of so many builds, the demo's among them; the same seed tells the same past."""
    filled = fill_demo(now, address, draw)
    crew = Crew(*(User.objects.get(email=each["email"]) for each in (OWNER, HAND)))
    House.objects.update(set_up_at=now - timedelta(weeks=WEEKS + 13))
    say("Doing each kind of job once")
    forms = [Form(told.bundle) for told in tales(crew, Days(now, calendar(house())))]
    dice = random.Random(seed)  # noqa: S311 - a past to look at, not a secret
    plan = _plan(builds - Build.objects.count(), dice)
    told = _tell(forms, plan, dice, say)
    _restock(forms, plan, crew, told)
    _end(told)
    return replace(filled, builds=Build.objects.count())


def _plan(builds: int, dice: random.Random) -> list[tuple[int, int]]:
    """How many weeks ago, and which tale; the oldest first."""
    shares, sizes = [tale.share for tale in TALES], [len(tale.jobs) for tale in TALES]
    chosen: list[int] = []
    while builds > 0:
        which = dice.choices(range(len(TALES)), shares)[0]
        if sizes[which] <= builds:
            chosen.append(which)
            builds -= sizes[which]
    return sorted(((dice.randrange(WEEKS), which) for which in chosen), reverse=True)


def _tell(forms: list[Form], plan: list[tuple[int, int]], dice: random.Random, say: Say) -> Numbers:
    take_room()
    numbers, waiting = _numbers(forms), iter(plan)
    order = children_first(numbers.rows | {PrivateLink: 0})
    teller, done = Teller(numbers, dice), 0
    while some := list(islice(waiting, AT_ONCE)):
        for weeks, which in some:
            teller.tell(forms[which], weeks)
        with transaction.atomic():
            taken = teller.taken()
            for model in order:
                write(model, taken[model])
        done += len(some)
        if done % (AT_ONCE * 50) == 0:
            say(f"{done:,} of {len(plan):,} customers’ jobs written")
    return numbers


def _numbers(forms: list[Form]) -> Numbers:
    """What numbers were given out so far."""
    models = {model for form in forms for model, _rows in form.rows}
    numbers = Numbers()
    for model in models - {PrivateLink}:
        numbers.rows[model] = model._base_manager.aggregate(last=Max("pk"))["last"] or 0
    for counter in Counter.objects.all():
        numbers.series[counter.series] = counter.last
    return numbers


def _restock(forms: list[Form], plan: list[tuple[int, int]], crew: Crew, numbers: Numbers) -> None:
    """What the past used came in at the beginning of its year, so that the ledger adds up."""
    used: Count[tuple[int, int]] = Count()
    for weeks, which in plan:
        year = (forms[which].placed_at - timedelta(weeks=weeks)).year
        for part, count in forms[which].stock.items():
            used[year, part] += count
    StockRow.objects.bulk_create(
        StockRow(
            pk=numbers.rows[StockRow] + place, token=numbers.token(), part_id=part,
            deed=Deed.RECEIVED, on_hand_change=count, by=crew.oda,
            at=datetime(year, 1, 2, 9, tzinfo=UTC),
        )
        for place, ((year, part), count) in enumerate(sorted(used.items()), 1) if count > 0
    )  # fmt: skip


def _end(numbers: Numbers) -> None:
    known = Counter.objects.values_list("series", flat=True)
    for series, last in numbers.series.items():
        if series in known:
            Counter.objects.filter(series=series).update(last=last)
        elif series != "tracking":
            Counter.objects.create(series=series, last=last)
    models: list[type[Model]] = [each for each in numbers.rows if each is not PrivateLink]
    go_on([*models, Counter, Customer])
