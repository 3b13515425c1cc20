"""The Bench: a band a stage, one button a build, undo for a minute, two tablets."""

from collections.abc import Callable
from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client

from builds.gates import actions as gates
from builds.models import Build
from builds.progress.states import State
from shop.models import User
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import hidden, row, tap, words
from tests.makers import (
    answer,
    check_cell,
    fit_a_part,
    make_bare_parcel,
    make_build,
    make_parcel,
    make_tray,
    prove,
    put_on_hold,
    take_views,
)

Make = Callable[[User, datetime], Build]


def booked(by: User, now: datetime) -> Build:
    return make_build(by, now)


def come(by: User, now: datetime) -> Build:
    return stands.arrived(by, now, State.BOOKED)[0]


def come_and_agreed(by: User, now: datetime) -> Build:
    build = come(by, now)
    answer(build, "agreed", by, now)
    return build


def unseen(by: User, now: datetime) -> Build:
    return stands.arrived(by, now)[0]


def unchecked(by: User, now: datetime) -> Build:
    return make_build(by, now, State.TEARDOWN)


def not_asked_again(by: User, now: datetime) -> Build:
    build = unchecked(by, now)
    check_cell(build, by, now)
    return build


def torn_down(by: User, now: datetime) -> Build:
    return stands.at_work(by, now, State.TEARDOWN)


def to_install(by: User, now: datetime) -> Build:
    return make_build(by, now, State.INSTALL)


def installing(by: User, now: datetime) -> Build:
    return stands.at_work(by, now, State.INSTALL)


def fitted(by: User, now: datetime) -> Build:
    build = installing(by, now)
    fit_a_part(build, by, now)
    return build


def installed(by: User, now: datetime) -> Build:
    build = fitted(by, now)
    take_views(build, State.INSTALL, by, now)
    return build


def to_test(by: User, now: datetime) -> Build:
    return make_build(by, now, State.TEST)


def untested(by: User, now: datetime) -> Build:
    return stands.at_work(by, now, State.TEST)


def under_test(by: User, now: datetime) -> Build:
    build = untested(by, now)
    prove(build, by, now)
    return build


def unpictured(by: User, now: datetime) -> Build:
    stands.views()
    return make_build(by, now, State.DISPATCH)


def half_packed(by: User, now: datetime) -> Build:
    build = stands.to_pack(by, now)
    make_bare_parcel([build], by, now)
    return build


def with_bad_cell(by: User, now: datetime) -> Build:
    build = stands.to_pack(by, now)
    check_cell(build, by, now, "aside")
    return build


def packed(by: User, now: datetime) -> Build:
    build = stands.to_pack(by, now)
    make_parcel([build], by, now)
    return build


def to_collect(by: User, now: datetime) -> Build:
    return stands.to_pack(by, now, "collection")


def held(by: User, now: datetime) -> Build:
    build = under_test(by, now)
    put_on_hold(build, by, now)
    return build


BUTTONS: list[tuple[Make, str, bool]] = [
    (booked, "Log its arrival", False),
    (come, "Record the yes", False),
    (come_and_agreed, "To intake", True),
    (unseen, "Take 6 views", False),
    (stands.in_intake, "To teardown", True),
    (unchecked, "Check the cell", False),
    (not_asked_again, "Record the answer", False),
    (stands.in_teardown, "Start teardown", True),
    (torn_down, "To install", True),
    (to_install, "Start install", True),
    (installing, "List its parts", False),
    (fitted, "Take 1 view", False),
    (installed, "To test", True),
    (to_test, "Start test", True),
    (untested, "Begin the sheet", False),
    (under_test, "To dispatch", True),
    (unpictured, "Pack for Friday", True),
    (half_packed, "Pack it", False),
    (with_bad_cell, "Check the cell", False),
    (stands.to_pack, "Pack for Friday", True),
    (packed, "Leaves Friday", True),
    (to_collect, "Hand it over", True),
    (held, "Open hold", False),
]


@pytest.mark.parametrize(
    ("make", "label", "is_go"),
    BUTTONS,
    ids=[f"{make.__name__} {label}" for make, label, _ in BUTTONS],
)
def test_button_says_what_comes_next(
    bench_client: Client, owner: User, now: datetime, make: Make, label: str, is_go: bool
) -> None:
    build = make(owner, now)
    shown = row(bench_client.get("/bench/"), build)
    assert words(shown).removesuffix(" Start my timer").endswith(label)
    assert ("button go" in shown) == is_go


def test_one_row_has_one_button_beside_its_timer(
    bench_client: Client, owner: User, now: datetime
) -> None:
    made = [make(owner, now) for make, _, _ in BUTTONS]
    page = bench_client.get("/bench/")
    shown = [row(page, build) for build in made]
    assert [one.count('class="button') - one.count("Start my timer") for one in shown] == [1] * len(
        made
    )


def test_bands_stand_in_the_order_of_the_work(
    bench_client: Client, owner: User, now: datetime
) -> None:
    booked(owner, now)
    page = bench_client.get("/bench/").content.decode()
    names = ["Intake", "Teardown", "Install", "Test", "Dispatch", "Booked, not here yet"]
    places = [page.index(f">{name}</h2>") for name in names]
    assert places == sorted(places)


def test_hilt_that_came_before_anyone_agreed_leads_the_bench(
    bench_client: Client, owner: User, now: datetime
) -> None:
    come(owner, now)
    page = bench_client.get("/bench/").content.decode()
    assert page.index("Here, not agreed yet") < page.index(">Intake</h2>")
    assert "Booked, not here yet" not in page
    assert "has not agreed yet" in bench_client.get("/").content.decode()


def test_band_counts_what_is_there_and_what_is_started(
    bench_client: Client, owner: User, now: datetime
) -> None:
    under_test(owner, now)
    to_test(owner, now)
    assert "Test 2 here · 1 started" in words(bench_client.get("/bench/"))


def test_build_that_ended_is_on_no_band(bench_client: Client, owner: User, now: datetime) -> None:
    gone = make_build(owner, now)
    Build.objects.filter(pk=gone.pk).update(state=State.WITHDRAWN)
    assert row(bench_client.get("/bench/"), gone) == ""


def test_empty_bench_says_what_to_do(bench_client: Client) -> None:
    assert "No hilt on the bench" in words(bench_client.get("/bench/"))


def test_flag_on_the_rule_of_days_leads_to_its_sheet(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = packed(owner, now)
    page = bench_client.get("/bench/").content.decode()
    assert f'class="flag ready" href="/build/{build.number}/"' in page
    assert "1 to leave" in words(page)


def moved(client: Client, build: Build, **changed: str) -> object:
    shown = row(client.get("/bench/"), build)
    fields = {"token": hidden(shown, "token"), "expected": hidden(shown, "expected")}
    return tap(client, f"/build/{build.number}/move/", **(fields | changed))


def test_tap_moves_a_build_and_says_so(bench_client: Client, owner: User, now: datetime) -> None:
    build = under_test(owner, now)
    assert f"{build.hilt} is in dispatch" in words(moved(bench_client, build))


def test_tap_sent_by_htmx_is_answered_with_the_board_alone(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = under_test(owner, now)
    fields = {"token": str(uuid4()), "expected": "test"}
    answer = tap(bench_client, f"/build/{build.number}/move/", "board", **fields)
    assert answer.content.startswith(b'<div id="board"')
    assert "is in dispatch" in words(answer)


def test_gate_that_is_closed_says_what_is_missing(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = fitted(owner, now)
    fields = {"token": str(uuid4()), "expected": "install"}
    answer = tap(bench_client, f"/build/{build.number}/move/", **fields)
    assert "Missing: 1 view to take: chassis, wired" in words(answer)


def test_same_tap_twice_moves_once(bench_client: Client, owner: User, now: datetime) -> None:
    build = under_test(owner, now)
    fields = {"token": str(uuid4()), "expected": "test"}
    for _ in range(2):
        said = words(tap(bench_client, f"/build/{build.number}/move/", **fields))
        assert "is in dispatch" in said
    assert build.moves.count() == 1


def test_other_tablet_is_told_who_was_first(
    owner_client: Client, bench_client: Client, owner: User, now: datetime
) -> None:
    build = under_test(owner, now)
    seen = row(bench_client.get("/bench/"), build)
    moved(owner_client, build)
    fields = {"token": hidden(seen, "token"), "expected": "test"}
    answer = tap(bench_client, f"/build/{build.number}/move/", **fields)
    assert "Oda moved" in words(answer)
    assert build.moves.count() == 1


def test_other_tablet_that_starts_what_was_moved_is_told(
    owner_client: Client, bench_client: Client, owner: User, now: datetime
) -> None:
    build = under_test(owner, now)
    moved(owner_client, build)
    answer = tap(bench_client, f"/build/{build.number}/start/", expected="test")
    assert "Oda moved" in words(answer)


def test_page_out_of_date_is_refused_in_words(bench_client: Client, build: Build) -> None:
    for deed in ("move", "start"):
        answer = tap(bench_client, f"/build/{build.number}/{deed}/", expected="limbo")
        assert "That page was out of date" in words(answer)


def test_undo_strip_stands_for_a_minute(
    bench_client: Client, owner: User, now: datetime, clock: Clock
) -> None:
    build = under_test(owner, now)
    gates.advance(build.pk, token=uuid4(), expected="test", by=owner, now=now)
    clock.at = now + timedelta(seconds=59)
    assert f"Oda moved {build.hilt}: now dispatch." in words(bench_client.get("/bench/"))
    clock.at = now + timedelta(seconds=60)
    assert "now dispatch" not in words(bench_client.get("/bench/"))


def test_undo_takes_the_move_back(bench_client: Client, owner: User, now: datetime) -> None:
    build = under_test(owner, now)
    move = gates.advance(build.pk, token=uuid4(), expected="test", by=owner, now=now)
    answer = tap(bench_client, f"/bench/undo/{move.pk}/", token=str(uuid4()))
    assert "it is in test again" in words(answer)
    assert "To dispatch" in row(answer, build)


def test_undo_that_comes_too_late_is_refused(
    bench_client: Client, owner: User, now: datetime, clock: Clock
) -> None:
    build = under_test(owner, now)
    move = gates.advance(build.pk, token=uuid4(), expected="test", by=owner, now=now)
    clock.at = now + timedelta(minutes=2)
    answer = tap(bench_client, f"/bench/undo/{move.pk}/", token=str(uuid4()))
    assert "for one minute" in words(answer)


def test_undo_says_that_the_tray_was_given_away(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = to_collect(owner, now)
    fields = {"token": uuid4(), "expected": "dispatch", "reason": ""}
    move = gates.end(build.pk, "collected", **fields, by=owner, now=now)
    other = make_build(owner, now, State.TEST, tray=build.tray)
    answer = tap(bench_client, f"/bench/undo/{move.pk}/", token=str(uuid4()))
    assert f"Tray {build.tray} holds {other.hilt} {other}. Choose another." in words(answer)
    spare = make_tray()
    fields = {"token": str(uuid4()), "tray": spare.pk, "build": build.pk}
    answer = tap(bench_client, f"/bench/undo/{move.pk}/", **fields)
    assert "it is in dispatch again" in words(answer)


def test_stranger_is_sent_to_sign_in(stranger: Client, house: object) -> None:
    assert stranger.get("/bench/").url.startswith("/sign-in/")


def test_rule_of_days_ends_before_a_day_without_room_for_its_flags(
    bench_client: Client, owner: User, now: datetime
) -> None:
    make_build(owner, now)
    page = bench_client.get("/bench/").content.decode()
    # Mondays and Fridays leave; from Wednesday 25 November the twentieth day is Monday 14 December.
    assert 'datetime="2026-12-13"' in page
    assert 'datetime="2026-12-14"' not in page
