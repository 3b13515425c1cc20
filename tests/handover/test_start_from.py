"""A new build of a hilt starts from what an earlier one is known to have."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.fitting.actions.plan import choose_chassis
from builds.fitting.actions.taking_off import take_off
from builds.fitting.actions.wires import list_wire
from builds.fitting.models import BuildPart, Plan, WireRun
from builds.fitting.values import Wire
from builds.handover.actions.gestures import add_gesture
from builds.handover.actions.returns import Facts, announce, make_build
from builds.handover.actions.start_from import start_from
from builds.handover.models import Gesture
from builds.handover.queries.before import before
from builds.handover.refusals import Refused
from builds.models import Build
from builds.progress import actions as progress
from builds.progress.states import Kind, State
from builds.sounds.models import Slot
from shop.history.queries import entries_about
from shop.models import User
from shop.stores.models import StockRow
from tests.handover.making import left
from tests.makers import describe_slot, fit_all, make_item, make_tray, take_apart_and_carry
from tests.makers import make_build as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def first(owner: User, now: datetime) -> Build:
    """A build that left with a cell, a board and a blade in it, wired, with a slot, a gesture."""
    build = make(owner, now, State.TEARDOWN, tray=make_tray())
    take_apart_and_carry(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.INSTALL)
    build.refresh_from_db()
    fit_all(build, owner, now)
    wire = Wire("cell", "board", "all", 22, 90)
    list_wire(build, wire, token=uuid4(), by=owner, now=now)
    said = {"being": "off", "wanted": "on", "do": "press once", "see": "", "hear": "", "out": ""}
    add_gesture(build.pk, said, token=uuid4(), by=owner, now=now)
    return left(build, now)


@pytest.fixture
def second(first: Build, owner: User, now: datetime) -> Build:
    """The next build of the same hilt."""
    return again(first, owner, now)


def again(first: Build, owner: User, now: datetime, kind: str = Kind.REPAIR) -> Build:
    """Another build of a hilt."""
    item = make_item(owner, now, first.item.order.customer)
    return progress.book(
        item, hilt=first.hilt, kind=kind, leaves_by="post", by=owner, now=now + timedelta(days=200)
    )


def start(second: Build, first: Build, owner: User, now: datetime, how: str = "stays") -> bool:
    return start_from(second.pk, first.pk, how, by=owner, now=now)


def test_what_stays_in_the_hilt_is_listed_as_fitted_and_costs_the_stores_nothing(
    second: Build, first: Build, owner: User, now: datetime
) -> None:
    rows = StockRow.objects.count()
    assert start(second, first, owner, now)
    old, new = (BuildPart.objects.filter(build=b).order_by("position") for b in (first, second))
    assert [(p.part, p.kind, p.serial, p.section, p.position) for p in new] == [
        (p.part, p.kind, p.serial, p.section, p.position) for p in old
    ]
    assert all(part.fitted_at for part in new)
    assert StockRow.objects.count() == rows
    board = new.get(kind="board")
    assert board.lies_on == new.get(kind="cell")


def test_what_is_fitted_anew_is_planned(
    second: Build, first: Build, owner: User, now: datetime
) -> None:
    start(second, first, owner, now, "anew")
    new = BuildPart.objects.filter(build=second)
    assert new.count() == 3
    assert not any(part.fitted_at or part.serial for part in new)


def test_wires_slots_gestures_and_chassis_come_along(
    second: Build, first: Build, owner: User, now: datetime
) -> None:
    start(second, first, owner, now)
    assert str(WireRun.objects.get(build=second)) == "cell to board"
    assert Slot.objects.get(build=second).name == "Ember"
    assert set(Gesture.objects.filter(build=second).values_list("tried_at", flat=True)) == {None}
    assert Plan.objects.get(build=second).chassis == "removable"


def test_it_is_done_once_and_told(second: Build, first: Build, owner: User, now: datetime) -> None:
    assert start(second, first, owner, now)
    assert not start(second, first, owner, now)
    assert not start(second, first, owner, now, "anew")
    assert BuildPart.objects.filter(build=second).count() == 3
    told = [line.text for line in entries_about(second.about)]
    assert f"Started from build {first}" in told
    assert f"Parts and wires taken over from build {first}: 4" in told


def test_what_stands_on_the_new_build_is_not_overwritten(
    second: Build, first: Build, owner: User, now: datetime
) -> None:
    describe_slot(second, owner, now)
    Slot.objects.filter(build=second).update(name="Tide")
    choose_chassis(second, "fixed", by=owner, now=now)
    start(second, first, owner, now)
    assert Slot.objects.get(build=second).name == "Tide"
    assert Plan.objects.get(build=second).chassis == "fixed"


def test_part_that_comes_out_afterwards_says_why(
    second: Build, first: Build, owner: User, now: datetime
) -> None:
    start(second, first, owner, now)
    board = BuildPart.objects.get(build=second, kind="board")
    take_off(board, "dead", whole=0, token=uuid4(), by=owner, now=now)
    board.refresh_from_db()
    assert board.ended_because == "dead"


def test_build_of_another_hilt_lends_nothing(first: Build, owner: User, now: datetime) -> None:
    other = make(owner, now, State.BOOKED)
    with pytest.raises(Refused, match="one hilt alone"):
        start(other, first, owner, now)


def test_build_past_install_stands_as_it_is(
    second: Build, first: Build, owner: User, now: datetime
) -> None:
    Build.objects.filter(pk=second.pk).update(state=State.TEST, tray=make_tray())
    with pytest.raises(Refused, match="past install"):
        start(second, first, owner, now)


def test_sheet_offers_it_and_leads_to_the_old_one(
    second: Build, first: Build, bench_client: Client
) -> None:
    sheet = bench_client.get(reverse("bench_sheet", args=[second.number])).content.decode()
    assert f"Start from build {first}" in sheet
    assert f"Open sheet {first}" in sheet
    answer = bench_client.post(
        reverse("handover_start_from", args=[second.number]), {"source": first.pk, "how": "stays"}
    )
    assert answer.status_code == 303
    sheet = bench_client.get(reverse("bench_sheet", args=[second.number])).content.decode()
    assert f"This build started from {first}." in sheet
    assert f"Start from build {first}" not in sheet


def test_first_build_of_a_hilt_has_nothing_before_it(first: Build) -> None:
    assert before(first).newest is None


def test_page_of_what_was_done_tells_parts_and_warranty(
    second: Build, first: Build, bench_client: Client
) -> None:
    assert first.hilt
    page = bench_client.get(reverse("handover_past", args=[first.hilt.pk])).content.decode()
    assert "S-1" in page
    assert f'id="build-{second.number}"' in page


def test_harmed_cell_is_never_taken_for_one_that_stays(
    owner_client: Client, first: Build, owner: User, now: datetime
) -> None:
    found = announce(first, Facts("swollen", "harmed"), token=uuid4(), by=None, now=now)
    made = make_build(found.pk, by=owner, now=now)
    sheet = reverse("bench_sheet", args=[made.number])
    assert "is not taken over as one that stays" in owner_client.get(sheet).content.decode()
    answer = owner_client.post(
        reverse("handover_start_from", args=[made.number]),
        {"source": first.pk, "how": "stays"},
        follow=True,
    )
    assert "without its cell, which is damaged" in answer.content.decode()
    kinds = set(BuildPart.objects.filter(build=made).values_list("kind", flat=True))
    assert "board" in kinds
    assert "cell" not in kinds
