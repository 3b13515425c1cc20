"""The pages of gestures: of a build, and of the plan that is kept with a board."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.handover.actions import gestures
from builds.models import Build
from builds.progress.states import Kind, State
from shop.models import User
from tests.handover.lines import ON, WAKE, add, fit_board, make_board, plan_lines
from tests.makers import make_build


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


def page(build: Build) -> str:
    return reverse("handover_build", args=[build.number])


def test_bench_hand_takes_over_tries_and_takes_back(
    build: Build, owner: User, bench_client: Client, now: datetime
) -> None:
    fit_board(build, make_board(owner, now, ON), owner, now)
    assert "Take it over" in bench_client.get(page(build)).content.decode()
    answer = bench_client.post(reverse("handover_take_over", args=[build.number]))
    assert answer.status_code == 303
    line = build.gestures.get()
    for deed, words in (("tried", "every line tried"), ("untried", "1 line to try")):
        address = reverse(f"handover_{deed}", args=[build.number, line.pk])
        bench_client.post(address, {"seen": gestures.seen_as(line)})
        assert words in bench_client.get(page(build)).content.decode()


def test_booklet_is_carried_along_with_a_tap(
    build: Build, owner: User, bench_client: Client, now: datetime
) -> None:
    line = add(build, owner, now)
    htmx = {"HX-Request": "true", "HX-Target": "gestures"}
    data = {"seen": gestures.seen_as(line)}
    before = bench_client.get(page(build), headers=htmx).content.decode()
    assert "Not tried on this hilt yet" in before
    tried = reverse("handover_tried", args=[build.number, line.pk])
    answer = bench_client.post(tried, data, headers=htmx, follow=True).content.decode()
    assert answer.count('id="booklet"') == 1
    assert 'hx-swap-oob="true"' in answer[answer.index('id="booklet"') :][:120]
    assert "Not tried on this hilt yet" not in answer


def test_bad_line_comes_back_with_what_was_typed(build: Build, owner_client: Client) -> None:
    data = {"line-new-being": "off", "line-new-wanted": "blade on", "line-new-token": uuid4()}
    answer = owner_client.post(reverse("handover_add", args=[build.number]), data)
    assert answer.status_code == 422
    assert 'value="blade on"' in answer.content.decode()


def test_change_says_that_the_tick_is_gone(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    line = add(build, owner, now)
    gestures.try_gesture(line.pk, seen=gestures.seen_as(line), by=owner, now=now)
    opened = owner_client.get(page(build), {"line": line.pk}).content.decode()
    assert "take the tick away" in opened
    name = f"line-{line.pk}"
    said = {**ON, "do": "hold", "seen": gestures.seen_as(line)}
    data = {f"{name}-{key}": value for key, value in said.items()}
    address = reverse("handover_change", args=[build.number, line.pk])
    answer = owner_client.post(address, data, follow=True)
    assert "try it again" in answer.content.decode()


def test_change_that_was_overtaken_keeps_what_was_typed(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    line = add(build, owner, now)
    name = f"line-{line.pk}"
    data = {f"{name}-{key}": value for key, value in {**ON, "do": "my own", "seen": "old"}.items()}
    answer = owner_client.post(reverse("handover_change", args=[build.number, line.pk]), data)
    assert answer.status_code == 422
    assert "was first" in answer.content.decode()
    assert "my own" in answer.content.decode()


def test_tap_without_what_was_seen_is_refused(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    line = add(build, owner, now)
    address = reverse("handover_tried", args=[build.number, line.pk])
    assert "out of date" in owner_client.post(address, follow=True).content.decode()
    line.refresh_from_db()
    assert line.tried_at is None


def test_line_of_another_build_is_not_found(
    build: Build, owner: User, owner_client: Client, now: datetime
) -> None:
    line = add(make_build(owner, now, State.INSTALL), owner, now)
    address = reverse("handover_tried", args=[build.number, line.pk])
    assert owner_client.post(address, {"seen": "x"}).status_code == 404


def test_part_page_of_a_board_leads_to_its_plan(
    owner: User, owner_client: Client, now: datetime
) -> None:
    board = make_board(owner, now, ON, WAKE)
    plan = reverse("handover_plan", args=[board.pk])
    assert plan in owner_client.get(reverse("stores_part", args=[board.pk])).content.decode()
    shown = owner_client.get(plan).content.decode()
    assert shown.index("wake it") < shown.index("blade on")


def test_plan_is_written_changed_and_retired(
    owner: User, owner_client: Client, now: datetime
) -> None:
    board = make_board(owner, now)
    plan = reverse("handover_plan", args=[board.pk])
    data = {f"line-new-{key}": value for key, value in {**ON, "token": uuid4()}.items()}
    owner_client.post(reverse("handover_plan_add", args=[board.pk]), data)
    (line,) = plan_lines(board)
    seen = {"seen": gestures.seen_as(line)}
    said = {f"line-{line.pk}-{key}": value for key, value in {**ON, **seen, "do": "hold"}.items()}
    owner_client.post(reverse("handover_plan_change", args=[line.pk]), said)
    assert "hold" in owner_client.get(plan).content.decode()
    line.refresh_from_db()
    now_seen = {"seen": gestures.seen_as(line)}
    owner_client.post(reverse("handover_plan_end", args=[line.pk]), now_seen)
    assert "Offer it again" in owner_client.get(plan).content.decode()


def test_blade_alone_has_a_page_without_a_hilt(
    owner: User, owner_client: Client, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, kind=Kind.BLADE)
    assert owner_client.get(page(build)).status_code == 200
