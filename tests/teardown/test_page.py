"""The page of taking apart: ticks, tries, steps, depth; what it refuses and keeps."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.hilts.actions import add_step, measure
from builds.hilts.models import Joint
from builds.hilts.states import Basis, MeasuredThing
from builds.models import Build, Place
from builds.progress.states import STAGES, Kind, State
from builds.teardown.actions import Try, try_joint
from builds.teardown.models import Attempt, Came, Means
from builds.teardown.queries import apart
from shop.models import House, User
from tests.hilts.shapes import make_joints, make_sections, mm
from tests.makers import answer, check_cell, make_build
from tests.teardown.apart import ready_for_heat

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """In teardown, with three sections and their joints."""
    build = make_build(owner, now, State.TEARDOWN)
    assert build.hilt
    make_joints(make_sections(build.hilt, owner, now), owner, now)
    return build


def page_of(client: Client, build: Build) -> str:
    return client.get(reverse("teardown_apart", args=[build.number])).content.decode()


def post(client: Client, name: str, build: Build, *args: int, **data: Any) -> Any:
    to = reverse(f"teardown_{name}", args=[build.number, *args])
    return client.post(to, {"token": uuid4(), **data})


def attempt(client: Client, build: Build, **data: Any) -> Any:
    joint = Joint.objects.filter(section__hilt=build.hilt_id).first()
    assert joint
    facts = {"joint": joint.pk, "means": "heat", "minutes": "10", "came": "holds", "words": "hot"}
    return post(client, "try", build, **{**facts, **data})


def test_page_says_no_tool_before_anybody_looked_at_the_cell(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    assert "No tool yet." in page_of(bench_client, build)
    check_cell(build, owner, now)
    assert "No tool yet." not in page_of(bench_client, build)


def test_cautions_stand_on_the_page(bench_client: Client, build: Build) -> None:
    page = page_of(bench_client, build)
    for words in ("Ventilate", "Eye protection", "gloves", "does not burn", "extinguisher", "hot",
                  "dried off", "swarf", "local codes", "data sheets"):  # fmt: skip
        assert words in page, words


def test_heat_is_open_when_all_is_ticked_and_agreed(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now)
    for what in ("cell", "electronics"):
        assert post(bench_client, "out", build, what=what, is_out="yes").status_code == 303
    assert "No heat." in page_of(bench_client, build)
    answer(build, "heat", owner, now)
    assert "Heat may be used." in page_of(bench_client, build)
    assert attempt(bench_client, build, celsius="240").status_code == 303
    post(bench_client, "out", build, what="cell", is_out="no")
    assert "No heat." in page_of(bench_client, build)


def test_refused_heat_says_why_and_keeps_what_was_typed(owner_client: Client, build: Build) -> None:
    refused = attempt(owner_client, build, celsius="240", words="torch, low")
    page = refused.content.decode()
    assert refused.status_code == 422
    assert "cell out" in page
    assert 'value="torch, low"' in page
    assert not Attempt.objects.exists()


@pytest.mark.parametrize(
    ("field", "junk"),
    [(field, junk) for field in ("minutes", "celsius", "joint")
     for junk in ("abc", "-3", "1e99", "∞", "99999999999999999999")],
)  # fmt: skip
def test_junk_in_a_try_is_refused(
    bench_client: Client, build: Build, owner: User, now: datetime, field: str, junk: str
) -> None:
    ready_for_heat(build, owner, now)
    assert attempt(bench_client, build, **{field: junk}).status_code == 422
    assert not Attempt.objects.exists()


def test_double_tap_keeps_one_try(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now)
    token = uuid4()
    for _tap in range(2):
        attempt(bench_client, build, means="hands", token=token)
    assert Attempt.objects.count() == 1


def test_after_an_hour_of_tries_a_change_of_plan_is_offered(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now)
    joint = Joint.objects.filter(section__hilt=build.hilt_id).first()
    assert joint
    for minutes, offered in ((45, False), (15, True)):
        tried = Try(Means.HANDS, minutes, Came.HOLDS)
        try_joint(build.pk, joint.pk, tried, token=uuid4(), by=owner, now=now)
        assert ("change the plan?" in page_of(owner_client, build)) is offered
    sheet = reverse("bench_sheet", args=[build.number])
    page = owner_client.get(f"{sheet}?hold=stuck").content.decode()
    assert '<option value="stuck" selected>' in page
    assert "Joint behind emitter" in page


def test_limit_of_tries_is_the_shops(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    House.objects.update(most_try_minutes=20)
    check_cell(build, owner, now)
    attempt(bench_client, build, means="hands", minutes="20")
    assert "Enough: change the plan?" in page_of(bench_client, build)


def test_try_on_a_build_that_moved_on_meanwhile_is_told_so(
    owner_client: Client, build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    told = attempt(owner_client, build, means="hands")
    assert told.status_code == 303
    page = owner_client.get(told.headers["Location"]).content.decode()
    assert "is in install: this is done in teardown" in page


@pytest.mark.parametrize("asked", ["", "junk", "%00"])
def test_hold_that_nobody_offers_is_not_prefilled(
    owner_client: Client, build: Build, asked: str
) -> None:
    sheet = reverse("bench_sheet", args=[build.number])
    assert owner_client.get(f"{sheet}?hold={asked}").status_code == 200


def test_steps_are_ticked_in_their_order(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    assert build.hilt
    facts = {"how": "", "for_owner": True, "wants_heat": False, "by": owner, "now": now}
    pommel = add_step(build.hilt, words="pommel", firsts=[], token=uuid4(), **facts)
    ring = add_step(build.hilt, words="ring", firsts=[pommel.pk], token=uuid4(), **facts)
    refused = post(bench_client, "step", build, ring.pk, is_out="yes")
    said = bench_client.get(refused.headers["Location"]).content.decode()
    assert "First comes off: pommel." in said
    for step in (pommel, ring):
        post(bench_client, "step", build, step.pk, is_out="yes")
    assert "all apart" in page_of(bench_client, build)
    post(bench_client, "step", build, ring.pk, is_out="no")
    assert not apart(build).is_off(ring.pk)


def test_step_that_is_not_there_is_said_so(bench_client: Client, build: Build) -> None:
    refused = post(bench_client, "step", build, 7, is_out="yes")
    assert "off the list" in bench_client.get(refused.headers["Location"]).content.decode()


def test_depth_is_kept_in_the_unit_typed_and_judged(
    bench_client: Client, build: Build, house: House
) -> None:
    post(bench_client, "depth", build, depth="17")
    assert "too little" in page_of(bench_client, build)
    House.objects.update(length_unit="in")
    post(bench_client, "depth", build, depth="1")
    page = page_of(bench_client, build)
    assert "1 in" in page
    assert "deep enough" in page


@pytest.mark.parametrize("junk", ["abc", "-3", "1e99", "∞", "99999", "99999999999999"])
def test_junk_for_a_depth_is_refused(bench_client: Client, build: Build, junk: str) -> None:
    answer = post(bench_client, "depth", build, depth=junk)
    assert answer.status_code == 422
    assert f'value="{junk}"' in answer.content.decode()
    assert not build.depths_tried.exists()


@pytest.mark.parametrize("data", [{"what": "battery"}, {"what": "cell"}, {"is_out": "yes"}])
def test_tick_that_says_nothing_ticks_nothing(
    bench_client: Client, build: Build, data: dict[str, str]
) -> None:
    assert post(bench_client, "out", build, **data).status_code == 303
    assert not build.taken_out.exists()


def test_build_without_a_hilt_has_no_such_page(
    owner_client: Client, owner: User, now: datetime
) -> None:
    blade = make_build(owner, now, kind=Kind.BLADE)
    assert owner_client.get(reverse("teardown_apart", args=[blade.number])).status_code == 404


def _shelf(state: str) -> Place | None:
    return Place.objects.create(name="Shelf A") if state in STAGES else None


@pytest.mark.parametrize("state", [State.BOOKED, State.TEST, State.SENT])
def test_page_of_any_state_opens_and_offers_only_what_can_be_done(
    bench_client: Client, owner: User, now: datetime, state: str
) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    Build.objects.filter(pk=build.pk).update(state=state, tray=None, place=_shelf(state))
    page = page_of(bench_client, build)
    assert "Write down a try" not in page
    assert "Cell out</button>" not in page


def test_step_with_heat_asks_on_the_page_whether_the_solvent_is_off(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    assert build.hilt
    hot = add_step(
        build.hilt, words="neck", how="", for_owner=False, wants_heat=True, firsts=[],
        token=uuid4(), by=owner, now=now,
    )  # fmt: skip
    ready_for_heat(build, owner, now)
    attempt(bench_client, build, means="solvent")
    assert 'name="is_dry"' in page_of(bench_client, build)
    post(bench_client, "step", build, hot.pk, is_out="yes")
    assert not build.steps_done.exists()
    post(bench_client, "step", build, hot.pk, is_out="yes", is_dry="on")
    assert build.steps_done.get().is_off


def test_answer_to_heat_leads_to_its_own_question_and_back_here(
    bench_client: Client, build: Build
) -> None:
    here = reverse("teardown_apart", args=[build.number])
    link = f"/build/{build.number}/?kind=heat&amp;next={here}%23out#answers"
    assert link in page_of(bench_client, build)
    to = reverse("bench_answer", args=[build.number])
    data = {"kind": "heat", "is_yes": "yes", "text": "Go on.", "how": "mail"}
    assert bench_client.post(to, {**data, "next": f"{here}#out"}).url == f"{here}#out"


def test_refused_try_with_heat_leads_to_the_answer_and_keeps_what_was_typed(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    check_cell(build, owner, now)
    page = attempt(bench_client, build, words="by the port").content.decode()
    assert f'href="/build/{build.number}/?kind=heat#answers" target="_blank"' in page
    assert "by the port" in page


def test_tube_deeper_than_the_measured_socket_is_asked_about(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    assert build.hilt
    socket = build.hilt.sections.get(holds_blade=True)
    told = {MeasuredThing.SOCKET_DEPTH: mm(40)}
    measure(socket, told, basis=Basis.MEASURED, token=uuid4(), by=owner, now=now)
    page = post(bench_client, "depth", build, depth="46").content.decode()
    assert "deeper than the socket was measured: which is right?" in page
    assert not build.depths_tried.exists()
    post(bench_client, "depth", build, depth="46", sure="on")
    assert build.depths_tried.get().depth_mm == 46
