"""The packing list: one tap a line, taken back by another, and the gate that asks for it."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.dispatch.actions import Refused, mark_left, open_parcel, tick_line, untick_line
from builds.dispatch.actions import stow as stow_cell
from builds.dispatch.actions.boxes import choose_box
from builds.dispatch.actions.contents import put_goods_in, take_goods_out
from builds.dispatch.actions.stowing import seen_as
from builds.dispatch.models import PackTick, Parcel
from builds.dispatch.packing import Contained, cell_words, lines
from builds.dispatch.queries import packing_of, packings
from builds.dispatch.states import Stowage, Terminals
from builds.gates import actions as gates
from builds.gates.actions import GateClosed
from builds.gates.conditions import conditions
from builds.intake import actions as intake
from builds.models import Build
from builds.progress.states import Kind, State
from shop.history.models import Entry
from shop.models import Item, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from tests.bench import stands
from tests.bench.pages import tap, words
from tests.makers import (
    at_once,
    make_arrival,
    make_bare_parcel,
    make_build,
    make_parcel,
    make_part,
    stow,
    tick_all,
)

pytestmark = pytest.mark.django_db
HOLDER = {"stowage": Stowage.INSTALLED, "terminals": Terminals.HOLDER}


@pytest.fixture
def build(owner: User, now: datetime, house: object) -> Build:
    """A build that lacks nothing but to be packed."""
    return stands.to_pack(owner, now)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    """It, in a parcel of which nothing is packed."""
    return make_bare_parcel([build], owner, now)


def tick(parcel: Parcel, code: str, build: Build | None, by: User, now: datetime) -> PackTick:
    """One tap on a line."""
    pk = build.pk if build else None
    return tick_line(parcel.pk, code, pk, token=uuid4(), by=by, now=now)


# The lines


@pytest.mark.parametrize(
    ("inside", "codes"),
    [
        (Contained(1, True), ["blade-out", "switched-off", "caps"]),
        (Contained(1, True, **HOLDER), ["blade-out", "switched-off", "caps"]),
        (Contained(1, True, Stowage.LEFT_OUT), ["blade-out", "cell-out", "caps"]),
        (Contained(1, False), []),
    ],
)
def test_lines_follow_from_what_lies_in_the_parcel(inside: Contained, codes: list[str]) -> None:
    assert [line.code for line in lines([inside])] == [*codes, "padded", "slip"]


def test_every_hilt_has_lines_of_its_own_and_the_box_one_of_each() -> None:
    asked = lines([Contained(1, True), Contained(2, True)])
    assert len({line.key for line in asked}) == len(asked) == 8


def test_goods_are_ticked_by_name() -> None:
    assert "In the box: 2 × stand" in [line.words for line in lines([], [(5, "2 × stand")])]


@pytest.mark.parametrize(
    ("stowage", "terminals", "safe", "said"),
    [
        ("", "", False, "how are its ends safe"),
        (Stowage.INSTALLED, "", False, "how are its ends safe"),
        (Stowage.INSTALLED, Terminals.HOLDER, True, "isolated by switch or key"),
        (Stowage.PACKED_WITH, Terminals.CAPS, True, "caps on both ends"),
        (Stowage.LEFT_OUT, "", True, "leaves without one"),
    ],
)
def test_cell_is_safe_once_somebody_said_where_it_is_and_how(
    stowage: str, terminals: str, safe: bool, said: str
) -> None:
    one = Contained(1, True, stowage, terminals)
    assert one.ends_safe is safe
    assert said in cell_words(one)


def test_blade_alone_asks_nothing_of_a_cell() -> None:
    assert Contained(1, False).ends_safe


# The deeds


def test_tick_says_who_and_when(parcel: Parcel, build: Build, owner: User, now: datetime) -> None:
    tick(parcel, "caps", build, owner, now)
    (row,) = [one for one in packing_of(parcel).all if one.line.code == "caps"]
    assert row.tick
    assert (row.tick.by, row.tick.at) == (owner, now)
    entry = Entry.objects.get(verb="pack_ticked")
    assert (entry.about, entry.parameters) == (build.about, {"line": "caps"})


def test_double_tap_ticks_once(parcel: Parcel, build: Build, owner: User, now: datetime) -> None:
    token = uuid4()
    for _ in range(2):
        tick_line(parcel.pk, "caps", build.pk, token=token, by=owner, now=now)
    assert PackTick.objects.count() == Entry.objects.filter(verb="pack_ticked").count() == 1


def test_second_tap_after_it_was_taken_back_ticks_nothing(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    token = uuid4()
    made = tick_line(parcel.pk, "caps", build.pk, token=token, by=owner, now=now)
    untick_line(parcel.pk, made.pk, by=owner, now=now)
    tick_line(parcel.pk, "caps", build.pk, token=token, by=owner, now=now)
    assert "caps" in [line.code for line in packing_of(parcel).open]


def test_other_tablet_learns_who_was_first(
    parcel: Parcel, build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    tick(parcel, "caps", build, bench_hand, now)
    assert tick(parcel, "caps", build, owner, now).by == bench_hand
    assert PackTick.objects.count() == 1


def test_tick_is_taken_back_and_stays_told(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    made = tick(parcel, "caps", build, owner, now)
    for _ in range(2):
        untick_line(parcel.pk, made.pk, by=owner, now=now + timedelta(minutes=1))
    assert "caps" in [line.code for line in packing_of(parcel).open]
    assert Entry.objects.filter(verb="pack_unticked").count() == 1
    tick(parcel, "caps", build, owner, now)
    assert PackTick.objects.count() == 2


@pytest.mark.parametrize("code", ["padded", "goods-7", "x"])
def test_line_that_is_not_on_the_list_is_refused(
    code: str, parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="out of date"):
        tick(parcel, code, build, owner, now)


def test_line_of_a_build_elsewhere_is_refused(parcel: Parcel, owner: User, now: datetime) -> None:
    other = make_build(owner, now, State.DISPATCH)
    with pytest.raises(Refused, match="out of date"):
        tick(parcel, "caps", other, owner, now)


def test_parcel_that_left_or_was_opened_is_ticked_no_more(
    build: Build, owner: User, now: datetime
) -> None:
    parcel = make_bare_parcel([build], owner, now)
    made = tick(parcel, "caps", build, owner, now)
    mark_left(parcel.pk, owner, now)
    for deed in (
        lambda: tick(parcel, "padded", None, owner, now),
        lambda: untick_line(parcel.pk, made.pk, by=owner, now=now),
    ):
        with pytest.raises(Refused, match="has left"):
            deed()


def test_opened_parcel_is_ticked_no_more(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    open_parcel(parcel.pk, owner, now)
    with pytest.raises(Refused, match="opened again"):
        tick(parcel, "caps", build, owner, now)


def test_new_parcel_begins_a_new_list(build: Build, owner: User, now: datetime) -> None:
    first = make_parcel([build], owner, now)
    open_parcel(first.pk, owner, now)
    again = make_bare_parcel([build], owner, now)
    assert len(packing_of(again).open) == 5


def test_another_box_is_padded_anew(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    small, large = (make_part(owner, now, 1, kind="box") for _ in range(2))
    choose_box(parcel.pk, small, seen=0, by=owner, now=now)
    tick_all(parcel, owner, now)
    choose_box(parcel.pk, large, seen=small.pk, by=owner, now=now)
    assert [line.code for line in packing_of(parcel).open] == ["padded", "slip"]


def test_goods_put_in_later_are_padded_too(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    item = add_item(build.item.order, ItemKind.GOODS, "stand", owner, now)
    tick_all(parcel, owner, now)
    put_goods_in(parcel.pk, item.pk, by=owner, now=now)
    assert [line.code.partition("-")[0] for line in packing_of(parcel).open] == ["goods", "padded"]
    tick_all(parcel, owner, now)
    take_goods_out(parcel.pk, item.pk, by=owner, now=now)
    assert [line.code for line in packing_of(parcel).open] == ["padded"]


def test_cell_that_goes_in_again_is_switched_off_again(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    def said(was: str, **values: str) -> str:
        made = stow_cell(parcel.pk, f"build-{build.pk}", values, seen=was, by=owner, now=now)
        return seen_as(made)

    was = said("", **HOLDER)
    tick_all(parcel, owner, now)
    was = said(was, stowage=Stowage.LEFT_OUT, terminals="")
    assert [line.code for line in packing_of(parcel).open] == ["cell-out", "padded"]
    tick_all(parcel, owner, now)
    said(was, **HOLDER)
    assert [line.code for line in packing_of(parcel).open] == ["switched-off", "padded"]


def test_ticks_are_never_rewritten(
    parcel: Parcel, build: Build, owner: User, bench_hand: User, now: datetime
) -> None:
    made = tick(parcel, "caps", build, owner, now)
    for change in ({"by": bench_hand}, {"code": "slip"}, {"at": now + timedelta(hours=1)}):
        with pytest.raises(DatabaseError), transaction.atomic():
            PackTick.objects.filter(pk=made.pk).update(**change)


@pytest.mark.django_db(transaction=True)
def test_two_tablets_tick_a_line_once(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    parcel = make_bare_parcel([build], owner, now)
    found = at_once(*[lambda: tick(parcel, "caps", build, owner, now)] * 4)
    assert len({row.pk for row in found}) == PackTick.objects.count() == 1


def test_thirty_parcels_ask_no_more_queries_than_one(owner: User, now: datetime) -> None:
    made = [make_parcel([make_build(owner, now, State.DISPATCH)], owner, now) for _ in range(30)]

    def count(parcels: list[Parcel]) -> int:
        with CaptureQueriesContext(connection) as queries:
            packings(parcels)
        return len(queries)

    assert count(made[:1]) == count(made)


# The gate


def packed(build: Build) -> Any:
    """The gate's condition, where it asks."""
    return {one.code: one for one in conditions([build.pk])[build.pk]}.get("packed")


def test_gate_does_not_ask_before_there_is_a_parcel(build: Build) -> None:
    assert packed(build) is None


def test_gate_asks_until_every_line_is_ticked(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    stow(parcel, owner, now)
    asked = packed(build)
    assert asked.text.startswith("5 lines to tick: Blade out")
    assert asked.link == f"/parcel/{parcel.pk}/#list"
    with pytest.raises(GateClosed, match="5 lines to tick"):
        gates.leave(parcel.pk, by=owner, now=now)
    tick_all(parcel, owner, now)
    assert packed(build).is_open
    assert len(gates.leave(parcel.pk, by=owner, now=now)) == 1


def test_nobody_passes_a_cell_whose_ends_nobody_said_to_be_safe(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    tick_all(parcel, owner, now)
    asked = packed(build)
    assert asked.never_pass
    assert asked.link == f"/parcel/{parcel.pk}/#cells"
    with pytest.raises(gates.Refused, match="Nobody can pass this one"):
        gates.let_by(build.pk, "packed", reason="in a hurry", by=owner, now=now)
    with pytest.raises(GateClosed, match="how are its ends safe"):
        gates.leave(parcel.pk, by=owner, now=now)


def test_word_given_for_the_list_does_not_hold_for_the_cell(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    stow(parcel, owner, now)
    gates.let_by(build.pk, "packed", reason="packed by the customer", by=owner, now=now)
    parcel.stowed.update(stowage=Stowage.INSTALLED, terminals="")
    with pytest.raises(GateClosed, match="how are its ends safe"):
        gates.leave(parcel.pk, by=owner, now=now)


def test_owner_passes_the_list_with_a_reason(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    stow(parcel, owner, now)
    gates.let_by(build.pk, "packed", reason="packed by the customer", by=owner, now=now)
    assert len(gates.leave(parcel.pk, by=owner, now=now)) == 1


# The page


def test_page_ticks_by_a_tap_and_takes_it_back(
    bench_client: Client, parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    fields = {"token": uuid4(), "code": "caps", "build": build.pk}
    reply = tap(bench_client, f"/parcel/{parcel.pk}/tick/", "list", **fields)
    assert "Jory" in words(reply)
    made = PackTick.objects.get()
    tap(bench_client, f"/parcel/{parcel.pk}/tick/{made.pk}/back/", "list")
    assert not PackTick.objects.filter(taken_back_at=None).exists()


def test_page_says_who_ticked_first(
    bench_client: Client, parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    tick(parcel, "caps", build, owner, now)
    fields = {"token": uuid4(), "code": "caps", "build": build.pk}
    assert "Oda ticked it already" in words(
        tap(bench_client, f"/parcel/{parcel.pk}/tick/", **fields)
    )


def test_page_says_that_it_may_leave_once_all_is_done(
    bench_client: Client, build: Build, owner: User, now: datetime
) -> None:
    parcel = make_parcel([build], owner, now)
    assert "It may leave." in words(bench_client.get(f"/parcel/{parcel.pk}/"))


def test_belongings_are_ticked_back_in_from_the_list(
    bench_client: Client, parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    arrival = make_arrival(owner, now)
    intake.match(arrival, build, owner, now)
    intake.add_belongings(arrival, [("stand", 1)], owner, now)
    page = f"/parcel/{parcel.pk}/"
    assert "Back in the box: stand" in words(bench_client.get(page))
    thing = build.belongings.get()
    reply = tap(
        bench_client, f"/build/{build.number}/belonging/{thing.pk}/", "list", next=f"{page}#list"
    )
    assert 'id="list"' in reply.content.decode()
    thing.refresh_from_db()
    assert thing.returned_at


def test_blade_alone_asks_for_the_box_alone(
    bench_client: Client, owner: User, now: datetime, house: object
) -> None:
    blade = make_build(owner, now, State.DISPATCH, kind=Kind.BLADE)
    parcel = make_bare_parcel([blade], owner, now)
    page = words(bench_client.get(f"/parcel/{parcel.pk}/"))
    assert "Padded" in page
    assert "Caps on" not in page


def test_goods_stand_on_the_list(owner: User, parcel: Parcel, build: Build) -> None:
    item = Item.objects.create(
        order=build.item.order, kind=ItemKind.GOODS, quantity=2, wanted="stand"
    )
    parcel.goods.create(item=item)
    assert "In the box: 2 × stand" in [line.words for line in packing_of(parcel).open]


def test_what_a_parcel_held_as_it_left_is_not_rewritten(
    parcel: Parcel, build: Build, owner: User, now: datetime
) -> None:
    tick(parcel, "caps", build, owner, now)
    mark_left(parcel.pk, owner, now)
    ticked = {"token": uuid4(), "code": "padded", "at": now, "by": owner}
    for deed in (
        lambda: parcel.packed.update(taken_out_at=now),
        lambda: parcel.packed.all().delete(),
        lambda: parcel.ticks.update(taken_back_at=now),
        lambda: parcel.ticks.create(**ticked),
    ):
        with pytest.raises(DatabaseError), transaction.atomic():
            deed()
