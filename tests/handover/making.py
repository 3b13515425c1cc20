"""Makes builds that left, and returns of them."""

from datetime import datetime
from uuid import uuid4

from builds.handover.actions.returns import Facts, Verdict, announce, decide
from builds.handover.models import Return
from builds.models import Build
from builds.progress.states import State
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
