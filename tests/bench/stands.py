"""Puts builds where a test wants them: what their gates ask for is there, or not."""

from datetime import datetime

from builds.intake import actions as intake
from builds.intake.models import Arrival, View
from builds.progress.models import Build
from builds.progress.states import State
from shop.models import User
from tests.makers import (
    answer,
    check_cell,
    describe_slot,
    hand_over,
    make_arrival,
    make_build,
    make_tray,
    take_apart_and_carry,
    take_views,
)


def views() -> None:
    """The views that a new shop asks for."""
    if not View.objects.exists():
        intake.make_default_views()


def arrived(by: User, now: datetime, state: str = State.INTAKE) -> tuple[Build, Arrival]:
    """A build whose parcel came, and nothing more."""
    views()
    build, arrival = make_build(by, now, state), make_arrival(by, now)
    intake.match(arrival, build, by, now)
    return build, arrival


def in_intake(by: User, now: datetime) -> Build:
    """A build in intake that lacks nothing."""
    build, arrival = arrived(by, now)
    take_views(build, State.INTAKE, by, now)
    intake.nothing_else(arrival, by, now)
    intake.note_condition(build, section="grip", grade="worn", words="thin", by=by, now=now)
    check_cell(build, by, now)
    build.tray = make_tray()
    build.save()
    return build


def in_teardown(by: User, now: datetime) -> Build:
    """A build that waits in teardown and lacks nothing."""
    build = make_build(by, now, State.TEARDOWN)
    check_cell(build, by, now)
    answer(build, "reconfirmed", by, now)
    return build


def at_work(by: User, now: datetime, state: str) -> Build:
    """A build whose stage is started."""
    views()
    build = in_teardown(by, now) if state == State.TEARDOWN else make_build(by, now, state)
    if state == State.TEARDOWN:
        take_apart_and_carry(build, by, now)
    elif state == State.INSTALL:
        describe_slot(build, by, now)
    build.started_at, build.started_by = now, by
    build.save()
    return build


def to_pack(by: User, now: datetime, leaves_by: str = "post") -> Build:
    """A build in dispatch that lacks nothing but the parcel."""
    views()
    build = make_build(by, now, State.DISPATCH, leaves_by=leaves_by)
    take_views(build, State.DISPATCH, by, now)
    hand_over(build, by, now)
    return build
