"""The wiring list: usual wires proposed, lengths cut, ticks, and the stores' ledger beside them."""

from dataclasses import replace
from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.fitting.actions import Overtaken, Refused
from builds.fitting.actions.parts import place
from builds.fitting.actions.wires import (
    change_wire,
    cut_wire,
    drop_wire,
    list_wire,
    uncut_wire,
)
from builds.fitting.models import WireRun
from builds.fitting.queries.wiring import wiring
from builds.fitting.values import Wire
from builds.models import Build
from builds.progress.states import State
from shop.history.queries import entries_about
from shop.models import House, Part, User
from shop.stores.actions import Short
from shop.web.speech import speaking
from tests.fitting.making import plan, post, said
from tests.hilts.shapes import make_sections
from tests.makers import make_build, make_part

pytestmark = pytest.mark.django_db
BLADE = Wire("board", "blade connector", "blade", 22, 120)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


@pytest.fixture
def roll(owner: User, now: datetime) -> Part:
    part = make_part(owner, now, kind="wire", name="wire 22 AWG")
    Part.objects.filter(pk=part.pk).update(counted="mm")
    part.level.on_hand = 1000
    part.level.save()
    part.refresh_from_db()
    return part


def listed(build: Build, wire: Wire, by: User, now: datetime) -> WireRun:
    return list_wire(build, wire, token=uuid4(), by=by, now=now)


def on_hand(part: Part) -> int:
    part.level.refresh_from_db()
    return int(part.level.on_hand)


@pytest.mark.parametrize(
    ("carries", "parallel", "pieces"),
    [("blade", 1, 2), ("blade", 2, 4), ("all", 1, 2), ("signal", 1, 1), ("signal", 2, 2)],
)
def test_what_feeds_something_goes_out_and_comes_back(
    carries: str, parallel: int, pieces: int, build: Build, owner: User, now: datetime
) -> None:
    wire = Wire("board", "blade", carries, 22, 120, spare_mm=30, parallel=parallel)
    run = listed(build, wire, owner, now)
    assert (run.cut_mm, run.pieces, run.cut_in_all_mm) == (150, pieces, 150 * pieces)


def test_cut_wire_leaves_the_stores_by_its_length_and_comes_back(
    build: Build, roll: Part, owner: User, now: datetime
) -> None:
    run = listed(build, Wire("board", "blade", "blade", 22, 130, part=roll), owner, now)
    token = uuid4()
    for _tap in range(2):
        cut_wire(run, token=token, by=owner, now=now)
    assert on_hand(roll) == 700
    with pytest.raises(Refused, match="It is cut"):
        change_wire(run, BLADE, by=owner, now=now)
    for _tap in range(2):
        uncut_wire(run, token=token, by=owner, now=now)
    assert on_hand(roll) == 1000
    assert [line.text for line in entries_about(build.about)[:2]] == [
        "Wire not cut after all: board to blade",
        "Wire cut: board to blade",
    ]


def test_tap_of_a_page_kept_open_cuts_nothing_that_the_stores_do_not_see(
    build: Build, roll: Part, owner: User, now: datetime
) -> None:
    run, cut, back = listed(build, replace(BLADE, part=roll), owner, now), uuid4(), uuid4()
    cut_wire(run, token=cut, by=owner, now=now)
    uncut_wire(run, token=back, by=owner, now=now)
    with pytest.raises(Refused, match="out of date"):
        cut_wire(run, token=cut, by=owner, now=now)
    cut_wire(run, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="out of date"):
        uncut_wire(run, token=back, by=owner, now=now)
    run.refresh_from_db()
    assert run.cut_at
    assert on_hand(roll) == 1000 - run.cut_in_all_mm


def test_wire_that_another_tablet_took_off_is_told_so(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    run = listed(build, BLADE, owner, now)
    drop_wire(run, by=owner, now=now)
    page = bench_client.post(
        reverse("fitting_wire", args=[build.number, run.pk]), {"starts": "cell"}, follow=True
    )
    assert page.status_code == 200
    assert "That wire is off the list already. Nothing was changed." in said(page)


def test_wire_typed_into_a_page_without_its_token_is_kept_in_the_form(
    bench_client: Client, build: Build
) -> None:
    typed = {"starts": "board", "ends": "speaker", "carries": "speaker", "gauge": "28"}
    sizes = {"length": "70", "spare": "20", "parallel": "1"}
    to = reverse("fitting_wire_add", args=[build.number])
    page = bench_client.post(to, {**typed, **sizes})
    assert page.status_code == 422
    assert "This page is out of date" in said(page)
    assert not build.wires.exists()


def test_more_than_the_roll_holds_is_not_cut(
    build: Build, roll: Part, owner: User, now: datetime
) -> None:
    run = listed(build, Wire("board", "blade", "blade", 22, 500, part=roll), owner, now)
    with pytest.raises(Short, match="wire 22 AWG"):
        cut_wire(run, token=uuid4(), by=owner, now=now)
    run.refresh_from_db()
    assert run.cut_at is None


def test_refused_cut_leads_to_ordering_what_is_lacking(
    owner_client: Client, build: Build, roll: Part, owner: User, now: datetime
) -> None:
    run = listed(build, Wire("board", "blade", "blade", 22, 500, part=roll), owner, now)
    cut = f"/build/{build.number}/wires/{run.pk}/cut/"
    page = owner_client.post(cut, {"token": uuid4()}, follow=True).content.decode()
    assert f"/stores/orders/new/?part={roll.pk}&amp;quantity={run.cut_in_all_mm}" in page


def test_same_token_lists_once_and_is_good_for_one_build(
    build: Build, owner: User, now: datetime
) -> None:
    token = uuid4()
    for _tap in range(2):
        list_wire(build, BLADE, token=token, by=owner, now=now)
    assert WireRun.objects.count() == 1
    with pytest.raises(Refused, match="out of date"):
        list_wire(make_build(owner, now), BLADE, token=token, by=owner, now=now)


@pytest.mark.parametrize(
    "wire",
    [
        Wire(" ", "blade", "blade", 22, 120),
        Wire("board", "blade", "water", 22, 120),
        Wire("board", "blade", "blade", 22, 0),
        Wire("board", "blade", "blade", 22, 20_001),
        Wire("board", "blade", "blade", 22, 120, spare_mm=-1),
        Wire("board", "blade", "blade", 22, 120, parallel=0),
    ],
)
def test_odd_wires_are_refused(wire: Wire, build: Build, owner: User, now: datetime) -> None:
    with pytest.raises(Refused):
        listed(build, wire, owner, now)


def test_wire_of_the_stores_is_a_wire_of_its_gauge(
    build: Build, roll: Part, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="another gauge"):
        listed(build, Wire("board", "blade", "blade", 24, 120, part=roll), owner, now)
    cell = make_part(owner, now, kind="cell")
    with pytest.raises(Refused, match="no wire"):
        listed(build, Wire("board", "blade", "blade", 22, 120, part=cell), owner, now)


def test_wire_off_the_list_is_said_to_the_other_tablet(
    build: Build, owner: User, now: datetime
) -> None:
    run = listed(build, BLADE, owner, now)
    for _tap in range(2):
        drop_wire(run, by=owner, now=now)
    with pytest.raises(Overtaken, match="off the list already"):
        cut_wire(run, token=uuid4(), by=owner, now=now)


def test_usual_wires_come_from_parts_and_measures(build: Build, owner: User, now: datetime) -> None:
    emitter, grip, _pommel = make_sections(build.hilt, owner, now)
    board = plan(build, make_part(owner, now, kind="board"), owner, now)
    cell = plan(build, make_part(owner, now, kind="cell"), owner, now)
    speaker = plan(build, make_part(owner, now), owner, now, 2)
    place(cell, grip, 1, None, by=owner, now=now)
    place(board, None, 2, cell, by=owner, now=now)
    place(speaker, emitter, 3, None, by=owner, now=now)
    found = wiring(build, "mm").usual
    assert [(wire.starts, wire.ends, wire.length_mm, wire.is_guess) for wire in found.wires] == [
        ("cell", "sound board", 70, True),  # both in the grip: half of it
        ("sound board", "speaker 1", 100, True),  # from the middle of 140 to the middle of 60
        ("sound board", "speaker 2", 100, True),
    ]


def test_nothing_is_guessed_without_measures(build: Build, owner: User, now: datetime) -> None:
    plan(build, make_part(owner, now, kind="board"), owner, now)
    plan(build, make_part(owner, now, kind="cell"), owner, now)
    found = wiring(build, "mm").usual
    assert found.wires == ()
    assert found.unplaced == ("cell", "sound board")


@pytest.fixture
def here(build: Build) -> str:
    return f"/build/{build.number}/wires/"


FIELDS = {
    "starts": "board", "ends": "blade connector", "carries": "blade", "gauge": "22",
    "length": "120", "spare": "20", "parallel": "2", "colour": "red, black",
}  # fmt: skip


def test_wires_are_written_down_ticked_and_added_up(bench_client: Client, here: str) -> None:
    assert "No wire listed yet" in said(bench_client.get(here))
    assert "On the list." in said(post(bench_client, f"{here}add/", **FIELDS))
    page = said(bench_client.get(here))
    assert "board → blade connector" in page
    assert "AWG 22 560 mm in 4 pieces" in page
    run = WireRun.objects.get()
    post(bench_client, f"{here}{run.pk}/cut/")
    assert "cut not yet" in said(bench_client.get(here))
    post(bench_client, f"{here}{run.pk}/cut/", not_cut="yes")
    run.refresh_from_db()
    assert run.cut_at is None


def test_inches_are_typed_and_shown_where_the_shop_likes_them(
    bench_client: Client, here: str
) -> None:
    House.objects.update(length_unit="in")
    post(bench_client, f"{here}add/", **{**FIELDS, "length": "4 3/4", "spare": "1"})
    run = WireRun.objects.get()
    assert (run.length_mm, run.spare_mm) == (121, 25)
    assert "4.764 in" in said(bench_client.get(here))


@pytest.mark.parametrize(
    ("name", "value", "why"),
    [
        ("gauge", "thin", "Type a gauge such as 22"),
        ("gauge", "50", "Type a gauge such as 22"),
        ("length", "long", "Type a length such as"),
        ("length", "0", "Type a length"),
        ("parallel", "0", "greater than or equal to 1"),
        ("starts", "", "required"),
        ("length", "21 m", "Type a length from 1 mm to 20 m"),
    ],
)
def test_what_is_wrong_stands_beside_what_was_typed(
    name: str, value: str, why: str, bench_client: Client, here: str
) -> None:
    answer = post(bench_client, f"{here}add/", **{**FIELDS, name: value})
    assert answer.status_code == 422
    assert why in said(answer)
    assert 'value="red, black"' in answer.content.decode()


@pytest.mark.parametrize(("typed", "kept"), [("0000", -3), ("2/0", -1), ("0", 0), ("28", 28)])
def test_thick_gauges_are_written_as_the_trade_writes_them(
    typed: str, kept: int, bench_client: Client, here: str
) -> None:
    post(bench_client, f"{here}add/", **{**FIELDS, "gauge": typed})
    assert WireRun.objects.get().gauge == kept
    shown = "00" if typed == "2/0" else typed
    assert f"AWG {shown} " in said(bench_client.get(here))


def test_a_guess_is_marked_until_somebody_keeps_a_length(
    bench_client: Client, build: Build, owner: User, now: datetime, here: str
) -> None:
    _emitter, grip, _pommel = make_sections(build.hilt, owner, now)
    for kind in ("board", "cell"):
        part = plan(build, make_part(owner, now, kind=kind), owner, now)
        place(part, grip, 1, None, by=owner, now=now)
    token = str(uuid4())
    post(bench_client, f"{here}usual/", token=token)
    assert "nothing to propose" in said(post(bench_client, f"{here}usual/", token=token))
    run = WireRun.objects.get()
    assert "Dotted: a guess" in said(bench_client.get(here))
    fields = {**FIELDS, "starts": "cell", "ends": "sound board", "length": "75"}
    post(bench_client, f"{here}{run.pk}/", **fields)
    run.refresh_from_db()
    assert (run.is_guess, run.length_mm) == (False, 75)
    assert "Dotted: a guess" not in said(bench_client.get(here))


def test_why_wire_came_back_is_in_the_language_of_the_shop(
    build: Build, roll: Part, owner: User, now: datetime
) -> None:
    run = listed(build, replace(BLADE, part=roll), owner, now)
    cut_wire(run, token=uuid4(), by=owner, now=now)
    with speaking("de"):
        uncut_wire(run, token=uuid4(), by=owner, now=now)
    assert roll.ledger.filter(reason="not cut after all").count() == 1
