"""Tell the customers: who is listed, and that one tap tells each of them once."""

from datetime import date, datetime, timedelta

import pytest
from django.test import Client

from builds.dispatch.actions import note_tracking
from builds.dispatch.models import Parcel
from builds.gates.actions import leave, undo
from builds.models import Build
from builds.progress.queries import last_move
from shop.house.queries import house
from shop.models import Customer, Message, User
from shop.post.models import Occasion
from shop.post.models import State as Post
from tests.bench import stands
from tests.bench.conftest import Clock
from tests.bench.pages import tap, words
from tests.makers import make_parcel
from tests.smtp import Received

URL = "/dispatch/tell/"
FRIDAY, MONDAY = date(2026, 11, 27), date(2026, 11, 30)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return stands.to_pack(owner, now)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    return make_parcel([build], owner, now - timedelta(minutes=5))


@pytest.fixture
def left(parcel: Parcel, owner: User, now: datetime) -> Parcel:
    """It has left, and bears a number."""
    leave(parcel.pk, by=owner, now=now)
    parcel.refresh_from_db()
    return note_tracking(parcel, carrier="van", tracking="A1", by=owner, now=now)


def test_packed_one_is_told_when_it_ships(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received
) -> None:
    page = words(bench_client.get(URL))
    assert "ships Fri 27 Nov" in page
    assert f"{build.hilt} ships on Friday 27 November" in page
    tap(bench_client, URL, who=f"ships_on:{build.number}")
    told = Message.objects.get()
    assert (told.occasion, told.key) == ("ships_on", f"ships_on:{build.pk}:2026-11-27")


def test_one_that_left_is_told_once_it_has_a_number(
    bench_client: Client, parcel: Parcel, build: Build, owner: User, now: datetime,
    smtp_server: Received,
) -> None:  # fmt: skip
    leave(parcel.pk, by=owner, now=now)
    assert "Everyone knows" in words(bench_client.get(URL))
    note_tracking(parcel, carrier="van", tracking="A1", by=owner, now=now)
    tap(bench_client, URL, who=f"sent:{build.number}")
    assert Message.objects.get().occasion == Occasion.SENT


def test_double_tap_tells_once(
    bench_client: Client, left: Parcel, build: Build, smtp_server: Received
) -> None:
    for _ in range(2):
        tap(bench_client, URL, who=f"sent:{build.number}")
    assert Message.objects.count() == 1
    assert "Everyone knows" in words(bench_client.get(URL))


def test_who_was_told_on_the_sheet_is_not_listed(
    bench_client: Client, left: Parcel, build: Build, smtp_server: Received, now: datetime
) -> None:
    Message.objects.create(
        key="x", message_id="x", about=build.about, occasion=Occasion.SENT, to="a@example.com",
        customer=Customer.objects.get(), body="x", state=Post.SENT, made_at=now, not_before=now,
    )  # fmt: skip
    assert "Everyone knows" in words(bench_client.get(URL))


def test_parcel_that_left_anew_is_told_anew(
    bench_client: Client, left: Parcel, build: Build, owner: User, now: datetime,
    smtp_server: Received, clock: Clock,
) -> None:  # fmt: skip
    tap(bench_client, URL, who=f"sent:{build.number}")
    sent = last_move(build)
    assert sent
    later = now + timedelta(seconds=30)
    undo(sent.pk, token=left.token, by=owner, now=later)
    assert Message.objects.get().state == Post.WITHDRAWN
    clock.at = later + timedelta(seconds=1)
    leave(left.pk, by=owner, now=clock.at)
    tap(bench_client, URL, who=f"sent:{build.number}")
    states = sorted(Message.objects.filter(occasion="sent").values_list("state", flat=True))
    assert states == [Post.QUEUED, Post.WITHDRAWN]


def test_customer_without_mail_is_not_ticked_and_gets_a_text(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received
) -> None:
    Customer.objects.update(email="")
    page = bench_client.get(URL).content.decode()
    assert "No mail address is on file" in page
    assert f'value="ships_on:{build.number}" disabled' in page
    assert f'href="/build/{build.number}/tell/?occasion=ships_on"' in page


def test_nothing_ticked_is_asked_for(bench_client: Client, parcel: Parcel) -> None:
    assert "Tick whom to tell." in words(tap(bench_client, URL))


def test_another_text_is_read_before_the_tap(
    bench_client: Client, parcel: Parcel, owner: User, now: datetime
) -> None:
    other = stands.to_pack(owner, now)
    make_parcel([other], owner, now)
    page = bench_client.get(
        f"{URL}?read=ships_on:{other.number}",
        headers={"HX-Request": "true", "HX-Target": "letter"},
    )
    assert f"{other.hilt} ships on Friday 27 November" in words(page)
    assert "<html" not in page.content.decode()


def test_parcel_left_behind_is_told_as_late_where_a_day_was_told(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received, clock: Clock
) -> None:
    tap(bench_client, URL, who=f"ships_on:{build.number}")
    clock.at += timedelta(days=3)  # Saturday
    assert "left behind; now ships Mon 30 Nov" in words(bench_client.get(URL))
    tap(bench_client, URL, who=f"late:{build.number}")
    told = Message.objects.get(occasion=Occasion.LATE)
    assert "It now ships by Monday 30 November" in told.body
    assert "Everyone knows" in words(bench_client.get(URL))


def test_parcel_left_behind_twice_is_told_twice(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received, clock: Clock
) -> None:
    for days in (0, 3, 3):
        clock.at += timedelta(days=days)
        code = "ships_on" if days == 0 else "late"
        tap(bench_client, URL, who=f"{code}:{build.number}")
    assert Message.objects.filter(occasion=Occasion.LATE).count() == 2


def test_today_offers_to_tell_of_a_parcel_left_behind(
    bench_client: Client, parcel: Parcel, build: Build, smtp_server: Received, clock: Clock
) -> None:
    assert "still here" not in words(bench_client.get("/"))
    clock.at += timedelta(days=3)
    assert "packed for Fri 27 Nov and still here; it goes Mon 30 Nov" in words(
        bench_client.get("/")
    )
    tap(bench_client, URL, who=f"ships_on:{build.number}")
    assert "still here" not in words(bench_client.get("/"))


@pytest.mark.parametrize(("address", "named"), [("", 2), ("https://shop.example", 0)])
def test_the_booklet_goes_along_where_no_page_can_be_opened_from_outside(
    address: str, named: int, bench_client: Client, left: Parcel, build: Build,
    smtp_server: Received,
) -> None:  # fmt: skip
    shop = house()
    shop.public_url = address
    shop.save()
    tap(bench_client, URL, who=f"sent:{build.number}")
    along = Message.objects.get(occasion=Occasion.SENT).attachments.exclude(name="")
    expected = [f"booklet-{build}-{size}.pdf" for size in ("usual", "large")][:named]
    assert [each.name for each in along.order_by("id")] == expected
