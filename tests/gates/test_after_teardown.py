"""Fit and power after teardown: judged again, said what changed, and what nobody can pass."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.fitting.actions.parts import plan_part
from builds.gates import actions as gates
from builds.gates.actions import GateClosed, Refused
from builds.gates.conditions import conditions
from builds.gates.known import Condition
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import State
from builds.sounds.actions import cap_brightness
from shop.models import User
from tests.fitting.powering import CELL, make
from tests.makers import fit_all, make_build, make_part, prove, take_apart_and_carry, take_views

pytestmark = pytest.mark.django_db
A_MINUTE = timedelta(minutes=1)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """In install, started; it left teardown with a cap that its cell carries."""
    build = make_build(owner, now, State.TEARDOWN)
    progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    take_apart_and_carry(build, owner, now)
    cap_brightness(build.pk, 60, seen=100, by=owner, now=now)
    advance(build, owner, now)
    progress.start(build.pk, expected=State.INSTALL, by=owner, now=now)
    build.refresh_from_db()
    return build


def advance(build: Build, by: User, now: datetime) -> None:
    build.refresh_from_db()
    gates.advance(build.pk, token=uuid4(), expected=build.state, by=by, now=now)


def of(build: Build) -> dict[str, Condition]:
    """Code → condition of leaving the stage."""
    return {found.code: found for found in conditions([build.pk])[build.pk]}


def overload(build: Build, by: User, now: datetime) -> None:
    """A cell that bears less than the slots draw takes the place of the one that was judged."""
    build.parts.filter(part__kind="cell").update(
        part=make("cell", CELL, by, now, max_current_ma=300)
    )


def test_what_is_judged_well_goes_on_to_dispatch(build: Build, owner: User, now: datetime) -> None:
    fit_all(build, owner, now)
    take_views(build, State.INSTALL, owner, now)
    for stage_left in (State.INSTALL, State.TEST):
        assert {"fit", "power"} <= set(of(build))
        if stage_left == State.TEST:
            prove(build, owner, now)
        advance(build, owner, now)
    build.refresh_from_db()
    assert build.state == State.DISPATCH


@pytest.mark.parametrize("stage", [State.INSTALL, State.TEST])
def test_overload_after_teardown_shuts_the_gate_and_nobody_passes_it(
    stage: str, build: Build, owner: User, now: datetime
) -> None:
    Build.objects.filter(pk=build.pk).update(state=stage)
    overload(build, owner, now)
    found = of(build)["power"]
    assert (found.is_open, found.never_pass) == (False, True)
    with pytest.raises(GateClosed, match="bears"):
        advance(build, owner, now)
    with pytest.raises(Refused, match="Nobody can pass"):
        gates.let_by(build.pk, "power", reason="it is only short", by=owner, now=now)


def test_every_broken_limit_is_named(build: Build, owner: User, now: datetime) -> None:
    overload(build, owner, now)
    small = make("connector", ({"diameter_mm": 22, "length_mm": 6, "pins": 3}, {"current_ma": 200}),
                 owner, now, name="pin of brass")  # fmt: skip
    plan_part(build, small, 1, section=None, token=uuid4(), by=owner, now=now)
    said = of(build)["power"].text
    assert said.startswith("2 limits are broken: ")
    assert "cell" in said
    assert "pin of brass" in said


def test_missing_figure_may_be_passed(build: Build, owner: User, now: datetime) -> None:
    build.parts.filter(part__kind="cell").update(ended_at=now, lies_on=None)
    gates.let_by(build.pk, "power", reason="his own cell", by=owner, now=now)
    assert of(build)["power"].is_open


def test_part_added_in_install_must_fit(build: Build, owner: User, now: datetime) -> None:
    plan_part(build, make_part(owner, now, kind="board"), 1, section=None, token=uuid4(),
              by=owner, now=now)  # fmt: skip
    assert not of(build)["fit"].is_open


def test_sheet_says_what_changed_since_teardown(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    url = f"/build/{build.number}/"
    assert "Changed since teardown" not in owner_client.get(url).content.decode()
    cap_brightness(build.pk, 100, seen=60, by=owner, now=now + A_MINUTE)
    page = owner_client.get(url).content.decode()
    line = page[page.find("Changed since teardown") :].partition("</p>")[0]
    assert line.startswith("Changed since teardown: cap 60 → 100 %")
