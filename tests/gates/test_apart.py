"""The gate out of teardown: measured, joints, steps, chassis, depth, consents."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates import actions as gates
from builds.gates.actions import GateClosed, Refused
from builds.gates.conditions import Condition, conditions
from builds.hilts.actions import add_step, copy_shape, measure
from builds.hilts.models import Hilt
from builds.models import Blade, Build
from builds.progress import actions as progress
from builds.progress.actions import tie_blade
from builds.progress.states import Kind, State
from builds.teardown.actions import Try, try_depth, try_joint
from builds.teardown.models import Came, Means
from shop.models import House, User
from tests.fitting.making import plan
from tests.hilts.shapes import make_joints, make_sections, mm
from tests.makers import answer, make_build, make_part, take_apart_and_carry
from tests.teardown.apart import ready_for_heat

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """In teardown, started."""
    build = make_build(owner, now, State.TEARDOWN)
    progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    return build


def hilt_of(build: Build) -> Hilt:
    assert build.hilt
    return build.hilt


def of(build: Build) -> dict[str, Condition]:
    """Code → condition of leaving teardown."""
    return {found.code: found for found in conditions([build.pk])[build.pk]}


def leave(build: Build, by: User, now: datetime) -> None:
    gates.advance(build.pk, token=uuid4(), expected=State.TEARDOWN, by=by, now=now)


def test_build_leaves_when_it_is_measured_and_apart(
    build: Build, owner: User, now: datetime
) -> None:
    with pytest.raises(GateClosed, match="No section of the hilt is measured yet"):
        leave(build, owner, now)
    take_apart_and_carry(build, owner, now)
    assert all(each.is_open for each in of(build).values())
    leave(build, owner, now)


def test_told_bore_is_no_measured_one(build: Build, owner: User, now: datetime) -> None:
    sections = make_sections(hilt_of(build), owner, now, basis="told")
    assert of(build)["bores"].text == "Bore to measure: emitter, grip, pommel"
    for section in sections[:2]:
        readings = {"bore": mm(28)}
        measure(section, readings, basis="measured", token=uuid4(), by=owner, now=now)
    assert of(build)["bores"].text == "Bore to measure: pommel"


def test_believed_bore_is_no_measured_one(build: Build, owner: User, now: datetime) -> None:
    like = hilt_of(make_build(owner, now, State.TEARDOWN))
    make_sections(like, owner, now)
    copy_shape(like, hilt_of(build), token=uuid4(), by=owner, now=now)
    assert not of(build)["bores"].is_open


def test_joint_behind_every_section_but_the_last(build: Build, owner: User, now: datetime) -> None:
    sections = make_sections(hilt_of(build), owner, now)
    make_joints(sections[:2], owner, now)
    assert of(build)["joints"].text == "Joint to note behind: grip"
    make_joints(sections[1:], owner, now)
    assert of(build)["joints"].is_open


def test_blade_that_goes_in_too_little_keeps_it_in_teardown(
    build: Build, owner: User, now: datetime
) -> None:
    make_sections(hilt_of(build), owner, now)
    assert of(build)["depth"].text == "Blade’s depth not tried yet"
    try_depth(build.pk, 17, "17 mm", token=uuid4(), by=owner, now=now)
    assert of(build)["depth"].text == "The blade goes in 17 mm; 19\u202fmm is the least"
    try_depth(build.pk, 24, "24 mm", token=uuid4(), by=owner, now=now)
    assert of(build)["depth"].is_open


def test_hilt_without_a_socket_is_not_asked_for_a_depth(
    build: Build, owner: User, now: datetime
) -> None:
    make_sections(hilt_of(build), owner, now)
    hilt_of(build).sections.update(holds_blade=False)
    assert "depth" not in of(build)


@pytest.mark.parametrize("kind", [Kind.FULL, Kind.REPAIR, Kind.WARRANTY])
def test_any_job_with_a_blade_on_its_list_asks_for_its_depth(
    kind: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=kind)
    progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    assert "depth" not in of(build)
    plan(build, make_part(owner, now, kind="blade"), owner, now)
    assert of(build)["depth"].text == "Blade’s depth not tried yet"
    try_depth(build.pk, 24, "24 mm", token=uuid4(), by=owner, now=now)
    assert of(build)["depth"].is_open


@pytest.mark.parametrize("kind", [Kind.UPGRADE, Kind.REPAIR, Kind.WARRANTY])
def test_blade_that_goes_home_with_a_hilt_asks_for_its_depth(
    kind: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=kind)
    blade = Blade.objects.create(customer=build.item.order.customer, name="Reed", since=now)
    tie_blade(build.pk, blade, seen=None, by=owner, now=now)
    assert of(build)["depth"].text == "Blade’s depth not tried yet"


def test_least_depth_is_the_shops(build: Build, owner: User, now: datetime) -> None:
    House.objects.update(least_depth_mm=25.4)
    make_sections(hilt_of(build), owner, now)
    try_depth(build.pk, 24, "24 mm", token=uuid4(), by=owner, now=now)
    assert of(build)["depth"].text == "The blade goes in 24 mm; 25.4\u202fmm is the least"


@pytest.mark.parametrize("kind", [Kind.REPAIR, Kind.WARRANTY])
def test_repair_asks_for_no_sections(kind: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=kind)
    progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    assert of(build) == {}


def _heat(build: Build, by: User, now: datetime) -> None:
    sections = make_sections(hilt_of(build), by, now)
    make_joints(sections, by, now)
    ready_for_heat(build, by, now)
    joint = sections[0].joints.get()
    tried = Try(Means.HEAT, 10, Came.LOOSE, celsius=240)
    try_joint(build.pk, joint.pk, tried, token=uuid4(), by=by, now=now)


@pytest.mark.parametrize("kind", [Kind.FULL, Kind.REPAIR])
def test_consent_taken_back_after_heat_was_used_stops_it_and_nobody_passes_that(
    kind: str, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEARDOWN, kind=kind)
    progress.start(build.pk, expected=State.TEARDOWN, by=owner, now=now)
    _heat(build, owner, now)
    assert of(build)["consents"].is_open
    answer(build, "heat", owner, now, is_yes=False)
    found = of(build)["consents"]
    assert (found.is_open, found.never_pass) == (False, True)
    with pytest.raises(Refused, match="Nobody can pass"):
        gates.let_by(build.pk, "consents", reason="it is warm", by=owner, now=now)


def test_step_that_wants_heat_asks_for_the_yes(build: Build, owner: User, now: datetime) -> None:
    add_step(
        hilt_of(build), words="neck", how="", for_owner=False, wants_heat=True, firsts=[],
        token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    assert of(build)["consents"].text == "Needs the customer’s yes: consent to heat"


def test_owner_passes_a_measure_with_a_reason(build: Build, owner: User, now: datetime) -> None:
    gates.let_by(build.pk, "bores", reason="same as last year's", by=owner, now=now)
    assert of(build)["bores"].is_open


def test_each_condition_leads_to_a_page_that_opens(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    make_sections(hilt_of(build), owner, now, basis="told")
    for found in of(build).values():
        assert found.link.startswith("/")
        page = owner_client.get(found.link)
        assert page.status_code == 200
        assert f'id="{found.link.partition("#")[2]}"' in page.content.decode() + 'id=""'
