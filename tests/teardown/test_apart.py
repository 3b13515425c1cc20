"""Heat, drilling and tools: what forbids them, and that nobody gets by. Steps and their order."""

import math
from collections.abc import Callable
from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction
from django.test import Client

from builds.fitting.actions.parts import fit_part, plan_part
from builds.hilts.actions import add_step
from builds.hilts.models import Joint, Step
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import State
from builds.teardown.actions import Try, take_out, tick_step, try_depth, try_joint
from builds.teardown.models import Attempt, Came, Means, TakenOut
from builds.teardown.queries import apart
from builds.teardown.refusals import Refused
from shop.models import User
from tests.hilts.shapes import make_joints, make_sections
from tests.makers import answer, check_cell, make_build, make_part
from tests.teardown.apart import ready_for_heat

pytestmark = pytest.mark.django_db
Deed = Callable[[Build, User, datetime], object]


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """In teardown, with three sections and their joints."""
    build = make_build(owner, now, State.TEARDOWN)
    assert build.hilt
    make_joints(make_sections(build.hilt, owner, now), owner, now)
    return build


def joint_of(build: Build) -> Joint:
    joint = Joint.objects.filter(section__hilt=build.hilt_id).first()
    assert joint
    return joint


def attempt(build: Build, by: User, now: datetime, tried: Try) -> Attempt:
    return try_joint(build.pk, joint_of(build).pk, tried, token=uuid4(), by=by, now=now)


def heat(build: Build, by: User, now: datetime) -> Attempt:
    return attempt(build, by, now, Try(Means.HEAT, 10, Came.LOOSE, celsius=240))


def out(what: str, is_out: bool = True) -> Deed:
    def deed(build: Build, by: User, now: datetime) -> object:
        return take_out(build.pk, what, is_out, token=uuid4(), by=by, now=now)

    return deed


def says(kind: str, is_yes: bool = True) -> Deed:
    def deed(build: Build, by: User, now: datetime) -> object:
        return answer(build, kind, by, now, is_yes)

    return deed


CELL, BOARD, YES = out("cell"), out("electronics"), says("heat")
HEAT_REFUSED: list[tuple[list[Deed], str]] = [
    ([], "cell check"),
    ([check_cell], "cell out"),
    ([check_cell, CELL], "electronics out"),
    ([check_cell, CELL, BOARD], "yes to heat"),
    ([check_cell, BOARD, YES], "cell out"),
    ([check_cell, CELL, YES], "electronics out"),
    ([check_cell, CELL, BOARD, says("heat", is_yes=False)], "yes to heat"),
    ([check_cell, CELL, BOARD, YES, says("heat", is_yes=False)], "yes to heat"),
    ([check_cell, CELL, BOARD, says("drilling")], "yes to heat"),
    ([check_cell, CELL, BOARD, YES, out("cell", is_out=False)], "cell out"),
    ([check_cell, CELL, BOARD, YES, out("electronics", is_out=False)], "electronics out"),
]


@pytest.mark.parametrize(("deeds", "lack"), HEAT_REFUSED)
def test_heat_is_refused_to_the_owner_too(
    deeds: list[Deed], lack: str, build: Build, owner: User, now: datetime
) -> None:
    for number, deed in enumerate(deeds):
        deed(build, owner, now + timedelta(seconds=number))
    with pytest.raises(Refused, match=lack):
        heat(build, owner, now + timedelta(minutes=5))
    assert not Attempt.objects.exists()


def test_heat_is_written_down_when_all_is_out_and_agreed(
    build: Build, owner: User, now: datetime
) -> None:
    ready_for_heat(build, owner, now)
    heat(build, owner, now)
    assert Attempt.objects.get().celsius == 240


@pytest.mark.parametrize(
    ("deeds", "lack"),
    [
        ([], "cell check"),
        ([says("drilling")], "cell check"),
        ([check_cell], "yes to drilling"),
        ([check_cell, says("heat")], "yes to drilling"),
        ([check_cell, says("drilling", is_yes=False)], "yes to drilling"),
    ],
)
def test_drilling_is_refused(
    deeds: list[Deed], lack: str, build: Build, owner: User, now: datetime
) -> None:
    for deed in deeds:
        deed(build, owner, now)
    with pytest.raises(Refused, match=lack):
        attempt(build, owner, now, Try(Means.DRILL, 10, Came.LOOSE))


@pytest.mark.parametrize("means", [Means.HANDS, Means.SOLVENT, Means.OTHER])
def test_no_tool_before_the_cell_check(
    means: str, build: Build, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="cell check"):
        attempt(build, owner, now, Try(means, 5, Came.HOLDS))
    with pytest.raises(Refused, match="cell check"):
        BOARD(build, owner, now)
    check_cell(build, owner, now)
    attempt(build, owner, now, Try(means, 5, Came.HOLDS))


def test_what_was_out_before_parts_went_in_again_says_nothing(
    build: Build, owner: User, now: datetime
) -> None:
    ready_for_heat(build, owner, now)
    later = now + timedelta(hours=1)
    for stage, to in ((State.TEARDOWN, State.INSTALL), (State.INSTALL, State.TEARDOWN)):
        progress.move(
            build.pk, token=uuid4(), expected=stage, to=to, by=owner, now=later,
            reason="stuck again", caused_in="install",
        )  # fmt: skip
    with pytest.raises(Refused, match="cell check"):
        heat(build, owner, later)
    check_cell(build, owner, later + timedelta(minutes=1))
    with pytest.raises(Refused, match="cell out"):
        heat(build, owner, later + timedelta(minutes=2))


@pytest.mark.parametrize("stage", [State.INTAKE, State.INSTALL, State.TEST, State.DISPATCH])
def test_joints_are_tried_in_teardown_alone(stage: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    assert build.hilt
    make_joints(make_sections(build.hilt, owner, now), owner, now)
    ready_for_heat(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=stage)
    with pytest.raises(Refused, match="this is done in teardown"):
        heat(build, owner, now)


def test_solvent_dries_off_before_heat(build: Build, owner: User, now: datetime) -> None:
    ready_for_heat(build, owner, now)
    attempt(build, owner, now, Try(Means.SOLVENT, 20, Came.HOLDS))
    with pytest.raises(Refused, match="dry off"):
        heat(build, owner, now + timedelta(minutes=1))
    attempt(build, owner, now, Try(Means.HEAT, 10, Came.LOOSE, celsius=230, is_dry=True))


def test_solvent_stays_wet_whatever_is_tried_meanwhile_and_on_whichever_joint(
    build: Build, owner: User, now: datetime
) -> None:
    ready_for_heat(build, owner, now)
    other = Joint.objects.filter(section__hilt=build.hilt_id).last()
    assert other
    facts = {"token": uuid4(), "by": owner, "now": now}
    try_joint(build.pk, other.pk, Try(Means.SOLVENT, 20, Came.HOLDS), **facts)
    attempt(build, owner, now, Try(Means.HANDS, 5, Came.HOLDS))
    with pytest.raises(Refused, match="dry off"):
        heat(build, owner, now + timedelta(minutes=1))


def test_step_with_heat_waits_for_the_solvent_to_dry_off(
    build: Build, owner: User, now: datetime
) -> None:
    hot = step(build, "neck", owner, now, hot=True)
    ready_for_heat(build, owner, now)
    attempt(build, owner, now, Try(Means.SOLVENT, 20, Came.HOLDS))
    with pytest.raises(Refused, match="dry off"):
        tick(build, hot, owner, now)
    tick_step(build.pk, hot.pk, True, is_dry=True, token=uuid4(), by=owner, now=now)
    assert apart(build).is_off(hot.pk)


@pytest.mark.parametrize("stage", [State.INSTALL, State.TEST])
def test_step_with_heat_is_for_teardown_alone(
    stage: str, build: Build, owner: User, now: datetime
) -> None:
    hot = step(build, "neck", owner, now, hot=True)
    ready_for_heat(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=stage)
    with pytest.raises(Refused, match="this is done in teardown"):
        tick(build, hot, owner, now)


@pytest.mark.parametrize(
    "tried",
    [
        Try(Means.HANDS, 0, Came.HOLDS),
        Try(Means.HANDS, -3, Came.HOLDS),
        Try(Means.HANDS, 10**9, Came.HOLDS),
        Try(Means.HANDS, 5, Came.HOLDS, celsius=200),
        Try(Means.HEAT, 5, Came.HOLDS, celsius=4000),
        Try(Means.HEAT, 5, Came.HOLDS, celsius=-3),
    ],
)
def test_impossible_attempt_is_refused(
    tried: Try, build: Build, owner: User, now: datetime
) -> None:
    ready_for_heat(build, owner, now)
    with pytest.raises(Refused):
        attempt(build, owner, now, tried)


def test_attempt_marks_the_joint_stuck_until_it_comes_loose(
    build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now)
    attempt(build, owner, now, Try(Means.HANDS, 15, Came.HOLDS))
    assert joint_of(build).stuck
    attempt(build, owner, now, Try(Means.HANDS, 15, Came.LOOSE))
    assert not joint_of(build).stuck
    assert apart(build).minutes(joint_of(build).pk) == 30


def test_joint_of_another_hilt_is_not_tried(build: Build, owner: User, now: datetime) -> None:
    other = make_build(owner, now, State.TEARDOWN)
    assert other.hilt
    make_joints(make_sections(other.hilt, owner, now), owner, now)
    check_cell(build, owner, now)
    tried = Try(Means.HANDS, 5, Came.LOOSE)
    with pytest.raises(Refused, match="off the hilt"):
        try_joint(build.pk, joint_of(other).pk, tried, token=uuid4(), by=owner, now=now)


def test_double_taps_do_it_once(build: Build, owner: User, now: datetime) -> None:
    check_cell(build, owner, now)
    token, tried = uuid4(), Try(Means.HANDS, 5, Came.HOLDS)
    for _tap in range(2):
        take_out(build.pk, "cell", True, token=token, by=owner, now=now)
        try_joint(build.pk, joint_of(build).pk, tried, token=token, by=owner, now=now)
        try_depth(build.pk, 24, "24 mm", token=token, by=owner, now=now)
    assert (TakenOut.objects.count(), Attempt.objects.count()) == (1, 1)
    assert build.depths_tried.count() == 1


def test_attempts_are_never_rewritten(build: Build, owner: User, now: datetime) -> None:
    check_cell(build, owner, now)
    attempt(build, owner, now, Try(Means.HANDS, 5, Came.HOLDS))
    with pytest.raises(DatabaseError), transaction.atomic():
        Attempt.objects.update(minutes=1)


def step(
    build: Build, words: str, by: User, now: datetime, *firsts: Step, hot: bool = False
) -> Step:
    assert build.hilt
    return add_step(
        build.hilt, words=words, how="", for_owner=not hot, wants_heat=hot,
        firsts=[each.pk for each in firsts], token=uuid4(), by=by, now=now,
    )  # fmt: skip


def tick(build: Build, step: Step, by: User, now: datetime, is_off: bool = True) -> None:
    tick_step(build.pk, step.pk, is_off, token=uuid4(), by=by, now=now)


def test_step_waits_for_those_before_it_and_goes_back_the_other_way(
    build: Build, owner: User, now: datetime
) -> None:
    pommel = step(build, "pommel", owner, now)
    chassis = step(build, "chassis", owner, now, pommel)
    with pytest.raises(Refused, match="First comes off: pommel"):
        tick(build, chassis, owner, now)
    tick(build, pommel, owner, now)
    tick(build, chassis, owner, now)
    with pytest.raises(Refused, match="First goes back on: chassis"):
        tick(build, pommel, owner, now, is_off=False)
    tick(build, chassis, owner, now, is_off=False)
    tick(build, pommel, owner, now, is_off=False)
    assert not apart(build).is_off(pommel.pk)


@pytest.mark.parametrize(("deeds", "lack"), HEAT_REFUSED)
def test_step_with_heat_waits_for_all_that_heat_asks(
    deeds: list[Deed], lack: str, build: Build, owner: User, now: datetime
) -> None:
    hot = step(build, "neck", owner, now, hot=True)
    for number, deed in enumerate(deeds):
        deed(build, owner, now + timedelta(seconds=number))
    with pytest.raises(Refused, match=lack):
        tick(build, hot, owner, now)


def test_step_with_heat_is_ticked_when_all_is_out(build: Build, owner: User, now: datetime) -> None:
    hot = step(build, "neck", owner, now, hot=True)
    ready_for_heat(build, owner, now)
    tick(build, hot, owner, now)
    assert apart(build).is_off(hot.pk)


def test_two_tablets_tick_the_same_step_once(
    build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    pommel = step(build, "pommel", owner, now)
    tick(build, pommel, owner, now)
    tick(build, pommel, bench_hand, now)
    assert build.steps_done.count() == 1


def test_step_of_another_hilt_is_not_ticked(build: Build, owner: User, now: datetime) -> None:
    other = make_build(owner, now, State.TEARDOWN)
    theirs = step(other, "pommel", owner, now)
    with pytest.raises(Refused, match="off the list"):
        tick(build, theirs, owner, now)


@pytest.mark.parametrize(("depth", "enough"), [(18.99, False), (19, True), (25.4, True)])
def test_depth_under_nineteen_is_kept_and_is_too_little(
    depth: float, enough: bool, build: Build, owner: User, now: datetime
) -> None:
    try_depth(build.pk, depth, f"{depth} mm", token=uuid4(), by=owner, now=now)
    assert apart(build).is_deep_enough is enough


@pytest.mark.parametrize("depth", [-3, 1e99, math.inf, math.nan])
def test_impossible_depth_is_refused(
    depth: float, build: Build, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused):
        try_depth(build.pk, depth, "so deep", token=uuid4(), by=owner, now=now)


def test_fitted_cell_and_board_are_out_no_longer(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    ready_for_heat(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    build.refresh_from_db()
    page = f"/build/{build.number}/apart/"
    for kind, what in (("board", "electronics"), ("cell", "cell")):
        part = make_part(owner, now, 1, kind=kind)
        planned = plan_part(build, part, 1, section=None, token=uuid4(), by=owner, now=now)
        assert apart(build).is_out(what)
        fit_part(planned, serial="S-1", token=uuid4(), by=owner, now=now)
        assert not apart(build).is_out(what)
    shown = owner_client.get(page).content.decode()
    assert "No heat: a cell is fitted." in shown
    assert "Heat may be used." not in shown


def test_no_cell_inside_counts_as_out_until_one_goes_in(
    build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now, "none", None)
    assert apart(build).is_out("cell")
    out("cell", is_out=False)(build, owner, now + timedelta(minutes=1))
    assert not apart(build).is_out("cell")
