"""Reserved parts of builds that ended or went back: free once that cannot be undone any more."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.fitting.actions.parts import plan_part, reserve_part
from builds.fitting.actions.releasing import release_due
from builds.fitting.models import BuildPart
from builds.gates import actions as gates
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import State
from shop.models import Part, User
from tests.makers import make_build, make_part

pytestmark = pytest.mark.django_db
SOON, LATER = timedelta(seconds=30), timedelta(seconds=61)


@pytest.fixture
def speaker(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 3)


@pytest.fixture
def build(speaker: Part, owner: User, now: datetime) -> Build:
    build = make_build(owner, now, State.INSTALL)
    reserve(build, speaker, owner, now - SOON)
    return build


def reserve(build: Build, part: Part, by: User, now: datetime) -> BuildPart:
    found = plan_part(build, part, 1, section=None, token=uuid4(), by=by, now=now)
    return reserve_part(found, token=uuid4(), by=by, now=now)


def reserved(part: Part) -> int:
    part.level.refresh_from_db()
    return int(part.level.reserved)


def end(build: Build, by: User, now: datetime) -> int:
    return gates.end(
        build.pk, State.WITHDRAWN, token=uuid4(), expected=State.INSTALL, reason="keeps it",
        by=by, now=now,
    ).pk  # fmt: skip


def back(build: Build, to: str, by: User, now: datetime) -> None:
    gates.send_back(
        build.pk, to, token=uuid4(), expected=build.state, reason="wrong bore",
        caused_in=State.TEARDOWN, by=by, now=now,
    )  # fmt: skip


def test_parts_of_an_ended_build_are_free_after_the_minute_to_undo(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    end(build, owner, now)
    assert (release_due(now + SOON), reserved(speaker)) == (0, 1)
    assert (release_due(now + LATER), reserved(speaker)) == (1, 0)
    assert release_due(now + 2 * LATER) == 0


def test_an_ending_that_is_undone_keeps_its_parts(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    move = end(build, owner, now)
    progress.undo(move, token=uuid4(), by=owner, now=now + SOON)
    assert (release_due(now + LATER), reserved(speaker)) == (0, 1)


def test_a_build_taken_apart_anew_frees_what_was_reserved_before(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    back(build, State.TEARDOWN, owner, now)
    assert (release_due(now + SOON), reserved(speaker)) == (0, 1)
    reserve(build, speaker, owner, now + SOON)  # somebody knows already that it stays
    assert (release_due(now + LATER), reserved(speaker)) == (1, 1)


def test_a_build_sent_back_to_install_keeps_its_parts(
    speaker: Part, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST)
    reserve(build, speaker, owner, now - SOON)
    back(build, State.INSTALL, owner, now)
    assert (release_due(now + LATER), reserved(speaker)) == (0, 1)


def test_what_is_released_is_planned_again_and_said_so(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    back(build, State.INTAKE, owner, now)
    release_due(now + LATER)
    found = BuildPart.objects.select_related("reservation").get(build=build)
    assert found.state == "planned"
    again = reserve_part(found, token=uuid4(), by=owner, now=now + LATER)
    assert (again.state, reserved(speaker)) == ("reserved", 1)
