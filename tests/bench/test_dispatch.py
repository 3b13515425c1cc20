"""The dispatch day: what ships, ticked off one by one."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.dispatch.models import Parcel
from builds.dispatch.states import Stowage, Terminals
from builds.intake.models import Photo
from builds.models import Build
from builds.progress.states import State
from builds.queue.models import Promise
from shop.models import Customer, User
from shop.post.actions import queue_message
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import tap, words
from tests.makers import check_cell, make_build, make_parcel, put_on_hold

FRIDAY, MONDAY = date(2026, 11, 27), date(2026, 11, 30)
DAY = "/dispatch/"
HEADS = {
    "Packed": "packed-head", "Ready to pack": "ready-head", "To be collected": "collect-head",
    "Nearly ready": "nearly-head", "In danger": "danger-head", "Left": "left-head",
}  # fmt: skip


def under(reply: Any, head: str) -> str:
    """The words of the page between a heading and the next."""
    page = reply.content.decode()
    found = page.split(f'<h2 id="{HEADS[head]}">')
    return words(found[1].split("<h2 id=")[0].split("</main>")[0]) if len(found) == 2 else ""


def promised(build: Build, day: date, by: User, now: datetime) -> Build:
    Promise.objects.create(build=build, day=day, at=now - timedelta(days=3), by=by)
    return build


@pytest.fixture
def to_pack(owner: User, now: datetime) -> Build:
    """A build that lacks nothing but its parcel."""
    return stands.to_pack(owner, now)


@pytest.fixture
def parcel(to_pack: Build, owner: User, now: datetime) -> Parcel:
    """It, packed for Friday."""
    return make_parcel([to_pack], owner, now)


def test_next_dispatch_day_is_shown_unasked(bench_client: Client, house: object) -> None:
    assert "<h1>Friday 27 November</h1>" in bench_client.get(DAY).content.decode()


def test_after_the_cut_off_the_day_after_it_is_shown(bench_client: Client, clock: Clock) -> None:
    clock.at = datetime(2026, 11, 27, 21, 0, tzinfo=clock.at.tzinfo)
    assert "<h1>Monday 30 November</h1>" in bench_client.get(DAY).content.decode()


def test_cut_off_is_named_on_the_day_itself(bench_client: Client, clock: Clock) -> None:
    clock.at += timedelta(days=2)
    assert "cut-off" in words(bench_client.get(DAY))


def test_other_day_is_shown_when_asked(bench_client: Client, house: object) -> None:
    page = bench_client.get(f"{DAY}?day=2026-12-04").content.decode()
    assert "<h1>Friday 4 December</h1>" in page
    assert 'href="?day=2026-12-04" aria-current="date"' in page


def test_nonsense_for_a_day_shows_the_next(bench_client: Client, house: object) -> None:
    assert "Friday 27 November" in words(bench_client.get(f"{DAY}?day=soon"))


def test_empty_day_says_so(bench_client: Client, house: object) -> None:
    assert "Nothing for this day yet" in words(bench_client.get(DAY))


def test_ready_build_is_packed_by_a_tap(bench_client: Client, to_pack: Build) -> None:
    assert "Nothing missing" in under(bench_client.get(DAY), "Ready to pack")
    fields = {"token": uuid4(), "expected": "2026-11-27"}
    reply = tap(bench_client, f"/build/{to_pack.number}/pack/", "day", **fields)
    assert f"{to_pack.hilt} is packed for Friday 27 November." in words(reply)
    assert str(to_pack.hilt) in under(reply, "Packed")
    assert under(reply, "Ready to pack") == ""


def test_double_tap_packs_once(bench_client: Client, to_pack: Build) -> None:
    fields = {"token": uuid4(), "expected": "2026-11-27"}
    for _ in range(2):
        tap(bench_client, f"/build/{to_pack.number}/pack/", **fields)
    assert Parcel.objects.count() == 1


def test_other_tablet_is_told_that_it_is_packed(bench_client: Client, parcel: Parcel) -> None:
    build = Build.objects.get()
    fields = {"token": uuid4(), "expected": "2026-11-27"}
    reply = tap(bench_client, f"/build/{build.number}/pack/", **fields)
    assert f"{build} lies in a parcel already." in words(reply)


def test_build_that_lacks_something_is_not_packed(
    bench_client: Client, to_pack: Build, owner: User, now: datetime
) -> None:
    check_cell(to_pack, owner, now, "aside")
    fields = {"token": uuid4(), "expected": "2026-11-27"}
    reply = tap(bench_client, f"/build/{to_pack.number}/pack/", **fields)
    assert "set aside as damaged" in words(reply)
    assert not Parcel.objects.exists()


def test_what_is_done_as_it_is_packed_does_not_stop_the_packing(
    bench_client: Client, to_pack: Build
) -> None:
    Photo.objects.all().delete()
    fields = {"token": uuid4(), "expected": "2026-11-27"}
    reply = tap(bench_client, f"/build/{to_pack.number}/pack/", **fields)
    assert "is packed for Friday" in words(reply)
    reply = tap(bench_client, f"/parcel/{Parcel.objects.get().pk}/left/")
    assert "1 view to take: packed box" in words(reply)
    assert Build.objects.get().state == State.DISPATCH


def test_address_is_there_to_copy(bench_client: Client, parcel: Parcel) -> None:
    Customer.objects.update(address="7 Saltmarsh Row\nNorthwick", country="GB")
    page = bench_client.get(DAY).content.decode()
    assert "Wren Aldous<br>7 Saltmarsh Row<br>Northwick</address>" in page


def test_country_stands_on_what_goes_abroad(bench_client: Client, parcel: Parcel) -> None:
    Customer.objects.update(address="Brygga 4\nNordvik", country="NO")
    assert "Nordvik Norway" in under(bench_client.get(DAY), "Packed").split("Wren Aldous")[1]


def test_build_under_test_for_the_day_is_nearly_ready(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = promised(make_build(owner, now, State.TEST), FRIDAY, owner, now)
    assert str(build.hilt) in under(bench_client.get(DAY), "Nearly ready")


def test_build_for_another_day_is_not_shown(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = promised(make_build(owner, now, State.TEST), MONDAY, owner, now)
    assert str(build.hilt) not in words(bench_client.get(DAY))
    assert str(build.hilt) in words(bench_client.get(f"{DAY}?day=2026-11-30"))


def test_build_at_work_on_the_day_before_is_in_danger(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = promised(make_build(owner, now, State.INSTALL), FRIDAY, owner, now)
    reply = bench_client.get(DAY)
    assert str(build.hilt) in under(reply, "In danger")
    assert "1 in danger" in words(reply)


def test_damaged_cell_is_in_danger_not_nearly_ready(
    bench_client: Client, to_pack: Build, owner: User, now: datetime
) -> None:
    check_cell(to_pack, owner, now, "aside")
    reply = bench_client.get(DAY)
    assert str(to_pack.hilt) in under(reply, "In danger")
    assert under(reply, "Nearly ready") == ""


def test_held_build_is_in_danger(
    bench_client: Client, to_pack: Build, owner: User, now: datetime
) -> None:
    put_on_hold(to_pack, owner, now)
    assert str(to_pack.hilt) in under(bench_client.get(DAY), "In danger")


def test_what_is_collected_waits_apart(bench_client: Client, owner: User, now: datetime) -> None:
    build = stands.to_pack(owner, now, "collection")
    reply = bench_client.get(DAY)
    assert str(build.hilt) in under(reply, "To be collected")
    assert under(reply, "Ready to pack") == ""


def test_parcel_is_ticked_off(bench_client: Client, parcel: Parcel) -> None:
    reply = tap(bench_client, f"/parcel/{parcel.pk}/left/", "day")
    assert "It has left." in words(reply)
    assert "left Wed 25 Nov, 10:40" in under(reply, "Left")
    assert under(reply, "Packed") == ""
    assert Build.objects.get().state == State.SENT


def test_double_tap_leaves_once(bench_client: Client, parcel: Parcel) -> None:
    for _ in range(2):
        reply = tap(bench_client, f"/parcel/{parcel.pk}/left/")
        assert "It has left." in words(reply)
    assert Build.objects.get().moves.count() == 1


def test_parcel_with_a_damaged_cell_stays(
    bench_client: Client, parcel: Parcel, owner: User, now: datetime
) -> None:
    check_cell(Build.objects.get(), owner, now, "aside")
    parcel.stowed.update(stowage=Stowage.INSTALLED, terminals=Terminals.HOLDER)
    reply = tap(bench_client, f"/parcel/{parcel.pk}/left/")
    assert "The cell was set aside as damaged" in words(reply)
    parcel.refresh_from_db()
    assert parcel.left_at is None


def test_parcel_is_opened_again(bench_client: Client, parcel: Parcel) -> None:
    reply = tap(bench_client, f"/parcel/{parcel.pk}/open/", "day")
    assert "The parcel is open again." in words(reply)
    assert "Nothing missing" in under(reply, "Ready to pack")


def test_parcel_that_left_is_not_opened(bench_client: Client, parcel: Parcel) -> None:
    tap(bench_client, f"/parcel/{parcel.pk}/left/")
    reply = tap(bench_client, f"/parcel/{parcel.pk}/open/")
    assert "This parcel has left." in words(reply)


def test_opened_parcel_does_not_leave(bench_client: Client, parcel: Parcel) -> None:
    tap(bench_client, f"/parcel/{parcel.pk}/open/")
    reply = tap(bench_client, f"/parcel/{parcel.pk}/left/")
    assert "opened again; close it first" in words(reply)


def test_parcel_left_behind_stands_on_the_next_day(
    bench_client: Client, parcel: Parcel, clock: Clock
) -> None:
    clock.at += timedelta(days=3)
    assert "did not leave on Fri 27 Nov" in under(bench_client.get(DAY), "Packed")


def test_undo_of_what_left_brings_the_parcel_back(bench_client: Client, parcel: Parcel) -> None:
    tap(bench_client, f"/parcel/{parcel.pk}/left/")
    move = Build.objects.get().moves.get()
    tap(bench_client, f"/bench/undo/{move.pk}/", token=uuid4())
    reply = bench_client.get(DAY)
    assert "It left" in under(reply, "Packed")
    assert under(reply, "Left") == ""


def test_tracking_is_kept_later(bench_client: Client, parcel: Parcel) -> None:
    tap(bench_client, f"/parcel/{parcel.pk}/left/")
    fields = {"carrier": "Fenpost", "tracking": "FP 00 17"}
    reply = tap(bench_client, f"/parcel/{parcel.pk}/tracking/", "day", **fields)
    assert "The tracking number is kept." in words(reply)
    assert 'value="FP 00 17"' in reply.content.decode()


def test_tracking_that_is_too_long_is_refused(bench_client: Client, parcel: Parcel) -> None:
    fields = {"carrier": "Fenpost", "tracking": "9" * 61}
    reply = tap(bench_client, f"/parcel/{parcel.pk}/tracking/", **fields)
    assert "60 signs at most" in words(reply)
    parcel.refresh_from_db()
    assert parcel.carrier == ""


def test_customer_is_told_from_the_parcel(bench_client: Client, parcel: Parcel) -> None:
    number = Build.objects.get().number
    page = bench_client.get(DAY).content.decode()
    assert f'href="/build/{number}/tell/?occasion=ships_on"' in page
    tap(bench_client, f"/parcel/{parcel.pk}/left/")
    page = bench_client.get(DAY).content.decode()
    assert f'href="/build/{number}/tell/?occasion=sent"' in page


def test_stranger_is_sent_to_sign_in(stranger: Client, house: object) -> None:
    assert stranger.get(DAY).url.startswith("/sign-in/")


def test_parcel_ticked_by_mistake_is_taken_back_on_the_day_itself(
    bench_client: Client, parcel: Parcel, to_pack: Build
) -> None:
    reply = tap(bench_client, f"/parcel/{parcel.pk}/left/")
    assert f"moved {to_pack.hilt}: now sent." in words(reply)
    assert "Undo" in words(reply)


def test_parcel_of_a_later_day_says_that_it_would_leave_early(
    bench_client: Client, parcel: Parcel
) -> None:
    assert "It left ahead of Friday" in under(bench_client.get(DAY), "Packed")


def test_leaving_says_that_it_withdrew_the_news_of_leaving(
    bench_client: Client, parcel: Parcel, to_pack: Build, now: datetime
) -> None:
    queue_message(
        key="k", occasion="ships_on", about=to_pack.about, to="ines@example.com",
        subject="s", body="b", now=now,
    )  # fmt: skip
    assert "was withdrawn" in words(tap(bench_client, f"/parcel/{parcel.pk}/left/"))


def test_parcel_without_an_address_says_so(
    bench_client: Client, parcel: Parcel, to_pack: Build
) -> None:
    assert "No address on file" in under(bench_client.get(DAY), "Packed")
