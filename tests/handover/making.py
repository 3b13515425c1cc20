"""Makes builds that left, and returns of them."""

from collections.abc import Sequence
from datetime import datetime
from uuid import uuid4

from builds.handover.actions.returns import Facts, Verdict, announce, decide
from builds.handover.models import Return, Warranty
from builds.models import Build
from builds.progress.states import FINISHED, State
from shop.house.models import Counter
from shop.models import User

DEAD = Facts("It does not light any more.", "fine")


def left(build: Build, at: datetime, state: str = State.SENT) -> Build:
    """The build, ended with the work done."""
    build.state, build.state_since, build.tray = state, at, None
    build.save()
    return build


def announced(build: Build, now: datetime, by: User | None = None) -> Return:
    """A return of a build, announced by its customer."""
    return announce(build, DEAD, token=uuid4(), by=by, now=now)


def covered(found: Return, by: User, now: datetime) -> Return:
    """The same, decided: the warranty covers it."""
    verdict = Verdict("covered", "the switch broke", "both")
    return decide(found.pk, verdict, seen="", by=by, now=now)


def come_back(builds: Sequence[Build], now: datetime) -> None:
    """A warranty of each that left finished; half of them announced, half came to nothing."""
    gone = [build for build in builds if build.state in FINISHED]
    Warranty.objects.bulk_create(
        Warranty(build=build, left_on=now.date(), last_day=now.date()) for build in gone
    )
    counter, _ = Counter.objects.get_or_create(series="returns")
    Return.objects.bulk_create(
        Return(
            token=uuid4(), number=counter.last + place, build=build, announced_at=now, words="dead",
            cell="fine", ended_at=now if place % 2 else None,
            ended_because="a flat battery" if place % 2 else "",
        )
        for place, build in enumerate(gone, start=1)
    )  # fmt: skip
    Counter.objects.filter(pk=counter.pk).update(last=counter.last + len(gone))
