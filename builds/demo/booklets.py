"""The booklets of the demo: of a hilt that waits for its day, and of one that has left."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.handover.actions.booklets import make_booklet, publish_booklet
from builds.handover.models import Booklet
from builds.handover.states import Type
from builds.progress.models import Build
from shop.house.queries import house

SHOWN = ("Weir House", "Osier")


def show(builds: Iterable[Build], crew: Crew, days: Days) -> None:
    """Make and publish the booklet of each."""
    for build in builds:
        build.refresh_from_db()
        now = _moment(build, days)
        make_booklet(build, house(), token=token("booklet", build.pk), by=crew.jory, now=now)
        newest = Booklet.objects.get(build=build, type_size=Type.USUAL)
        later = now + timedelta(minutes=4)
        publish_booklet(build.pk, house(), seen=newest.pk, by=crew.jory, now=later)


def _moment(build: Build, days: Days) -> datetime:
    """Before a hilt left; of one that is here, a working day ago."""
    return days.back(1, 16, 10) if build.is_open else build.state_since - timedelta(hours=2)
