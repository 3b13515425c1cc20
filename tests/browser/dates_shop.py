"""Puts three builds into a demo shop that wait for one part, with days that may just hold.

Run beside the shop, in ``manage.py shell``, with its data folder in the environment.
"""

import sys
from datetime import date, time, timedelta

from builds.models import Build, Hold, Tray
from builds.progress.states import STAGES, State
from builds.queue.actions import promise
from builds.queue.actions.reckoning import reckon
from builds.queue.models import LinePlace
from shop.clock import now
from shop.diary.models import Closure, DayOff, OwnDay, Weekday
from shop.diary.queries import calendar
from shop.house.models import House
from shop.house.queries import house
from shop.people.models import User
from tests.makers import make_build
from tests.queue.making import finished, wait_for_one_part


def fill() -> None:
    """Make the shop, and say which Saturday lies between the late part and the promises."""
    plain_weeks()
    moment, owner = now(), User.objects.get(name__startswith="Oda")
    monday = second_monday(calendar(house()).today(moment))
    finished(14, owner, moment)
    clear_the_bench(owner)
    trays = list(Tray.objects.order_by("pk")[:3])
    builds = [make_build(owner, moment, State.INSTALL, tray=tray) for tray in trays]
    for place, build in enumerate(builds):
        LinePlace.objects.create(build=build, place=place)
        promise(build, monday + timedelta(days=14), reason="", by=owner, now=moment)
    wait_for_one_part(builds, owner, moment, monday)
    reckon(moment)
    sys.stdout.write(f"{monday + timedelta(days=12)}\n")


def plain_weeks() -> None:
    """Monday to Friday, parcels on Monday and Friday, nobody away: on whatever day this runs."""
    for gone in (Closure, DayOff, OwnDay):
        gone.objects.all().delete()
    House.objects.update(closed_on_holidays=False)
    for day in Weekday.objects.all():
        works = day.weekday < 5
        day.opens, day.closes = (time(9), time(17)) if works else (None, None)
        day.dispatches = day.weekday in (0, 4)
        day.save()


def second_monday(today: date) -> date:
    """A Monday that is more than a week away."""
    soon = today + timedelta(days=8)
    return soon + timedelta(days=-soon.weekday() % 7)


def clear_the_bench(owner: User) -> None:
    """Let what else is open be over: the three are alone in the line."""
    LinePlace.objects.all().delete()
    Hold.objects.filter(ended_at=None).update(ended_at=now(), ended_by=owner)
    Build.objects.filter(state__in=STAGES).update(state=State.WITHDRAWN, tray=None)
