"""A harmed cell is never asked for by post: on no page, in no message, at no stage."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.bench.queries.tell import fitting, possible
from builds.handover.actions.returns import Facts, Verdict, announce, decide, make_build
from builds.handover.models import Return
from builds.handover.queries.returns import words_for
from builds.handover.words import HARMED
from builds.intake.actions import check_cell, match, receive
from builds.models import Build
from builds.queue.wording import stand_of, values
from shop.diary.queries import calendar
from shop.models import House, User
from shop.post.models import Occasion, Wording
from tests.visitor import making

ADDRESS = "4 Tannery Row"


@pytest.fixture(autouse=True)
def shop(house: House) -> House:
    house.address, house.email = f"{ADDRESS}\nExampleton", "bench@larkhill.example"
    house.save()
    return house


@pytest.fixture
def gone(build: Build, now: datetime) -> Build:
    return making.finished(build, now)


@pytest.fixture
def found(gone: Build, now: datetime) -> Return:
    return announce(gone, Facts("hot to the touch", "harmed"), token=uuid4(), by=None, now=now)


@pytest.fixture
def booked(found: Return, owner: User, now: datetime) -> Build:
    return make_build(found.pk, by=owner, now=now)


def text(client: Client, url: str) -> str:
    """The page without the blanks of its source."""
    return " ".join(client.get(url).content.decode().split())


def came(build: Build, by: User, now: datetime) -> str:
    """It came after all: the address of its parcel's page."""
    arrival = receive(token=uuid4(), fields={"box": "sound"}, by=by, now=now)
    match(arrival, build, by, now)
    return f"/intake/{arrival.pk}/"


def order_page(build: Build, now: datetime) -> str:
    return f"/your/order/{making.token(making.link(build.item.order, now))}/"


def test_page_of_the_order_gives_no_address(stranger: Client, booked: Build, now: datetime) -> None:
    shown = text(stranger, order_page(booked, now))
    assert ADDRESS not in shown
    assert "Do not post it" in shown
    assert str(HARMED) in shown
    assert "is expected here" not in shown


def test_page_of_the_order_says_no_more_of_it_once_it_is_here(
    stranger: Client, booked: Build, owner: User, now: datetime
) -> None:
    came(booked, owner, now)
    assert "Do not post it" not in text(stranger, order_page(booked, now))


def test_posting_is_no_message_that_is_offered(booked: Build, shop: House, now: datetime) -> None:
    stand = stand_of(booked, calendar(shop), now)
    assert Occasion.POSTING not in possible(stand)
    assert fitting(stand) != Occasion.POSTING
    assert values(stand, Occasion.POSTING, shop)["address"] == ""


def test_sheet_for_posting_says_not_to(bench_client: Client, booked: Build) -> None:
    shown = text(bench_client, f"/orders/{booked.item.order.number}/posting-in/")
    assert ADDRESS not in shown
    assert str(HARMED) in shown


def test_sheet_for_posting_has_the_number_of_the_return(
    bench_client: Client, gone: Build, owner: User, now: datetime
) -> None:
    fine = announce(gone, Facts("dead", "fine"), token=uuid4(), by=None, now=now)
    made = make_build(fine.pk, by=owner, now=now)
    shown = text(bench_client, f"/orders/{made.item.order.number}/posting-in/")
    assert '<p class="box-number num">R0001</p>' in shown
    assert ADDRESS in shown


def test_message_for_posting_has_the_number_of_the_return(
    gone: Build, owner: User, shop: House, now: datetime
) -> None:
    fine = announce(gone, Facts("dead", "fine"), token=uuid4(), by=None, now=now)
    stand = stand_of(make_build(fine.pk, by=owner, now=now), calendar(shop), now)
    assert fitting(stand) == Occasion.POSTING
    assert values(stand, Occasion.POSTING, shop)["order"] == "R0001"
    assert values(stand, Occasion.FREE, shop)["order"] == stand.build.item.order.number


def test_message_of_the_decision_says_not_to_post_it(
    found: Return, owner: User, shop: House, now: datetime
) -> None:
    decided = decide(
        found.pk, Verdict("covered", "it was ours", "shop"), seen="", by=owner, now=now
    )
    body = words_for(decided, Occasion.RETURN_DECIDED, shop, now).body
    assert ADDRESS not in body
    assert body.count(str(HARMED)) == 1
    assert "carriage is ours" not in body


def test_message_of_another_decision_says_nothing_of_batteries(
    gone: Build, owner: User, shop: House, now: datetime
) -> None:
    fine = announce(gone, Facts("dead", "fine"), token=uuid4(), by=None, now=now)
    verdict = Verdict("covered", "it was ours", "shop")
    decided = decide(fine.pk, verdict, seen="", by=owner, now=now)
    assert "attery" not in words_for(decided, Occasion.RETURN_DECIDED, shop, now).body


@pytest.mark.parametrize("occasion", [Occasion.RETURN_NOTED, Occasion.RETURN_DECIDED])
def test_shops_own_words_do_not_leave_the_caution_out(
    found: Return, owner: User, shop: House, now: datetime, occasion: str
) -> None:
    Wording.objects.create(occasion=occasion, subject="Back", body="Thank you.")
    assert words_for(found, occasion, shop, now).body.startswith(str(HARMED))


def test_staff_read_the_caution_until_it_is_here(
    owner_client: Client, found: Return, booked: Build, owner: User, now: datetime
) -> None:
    pages = [f"/returns/{found.number}/", f"/build/{booked.number}/"]
    assert all(str(HARMED) in text(owner_client, page) for page in pages)
    came(booked, owner, now)
    assert not any(str(HARMED) in text(owner_client, page) for page in pages)


def test_box_is_opened_with_care_until_somebody_looked_at_the_cell(
    bench_client: Client, booked: Build, owner: User, now: datetime
) -> None:
    parcel = came(booked, owner, now)
    said = "said that the cell of Copperfen is damaged"
    assert said in text(bench_client, parcel)
    assert said in text(bench_client, f"/build/{booked.number}/")
    check_cell(
        build=booked, arrival=None, result="aside", millivolts=None, note="", by=owner, now=now
    )
    assert said not in text(bench_client, parcel)
    assert said not in text(bench_client, f"/build/{booked.number}/")


def test_what_is_here_is_not_asked_for_on_the_page_of_the_hilt(
    stranger: Client, gone: Build, owner: User, now: datetime
) -> None:
    page = f"/your/hilt/{making.token(making.hilt_link_to(gone, now))}/"
    fine = announce(gone, Facts("dead", "fine"), token=uuid4(), by=None, now=now)
    made = make_build(fine.pk, by=owner, now=now)
    assert ADDRESS in text(stranger, page)
    came(made, owner, now)
    shown = text(stranger, page)
    assert ADDRESS not in shown
    assert "Before you post it" not in shown
    assert "It is with us" in shown


@pytest.mark.parametrize("is_decided", [False, True])
def test_page_of_the_hilt_says_the_danger_before_all_else(
    stranger: Client, gone: Build, found: Return, shop: House, owner: User, now: datetime,
    is_decided: bool,
) -> None:  # fmt: skip
    shop.phone = "01632 960 123"
    shop.save()
    if is_decided:
        decide(found.pk, Verdict("covered", "it was ours", "shop"), seen="", by=owner, now=now)
        make_build(found.pk, by=owner, now=now)
    shown = text(stranger, f"/your/hilt/{making.token(making.hilt_link_to(gone, now))}/")
    assert shown.index("Do not post it") < shown.index(str(HARMED)) < shown.index("R0001")
    unsaid = ("your hilt comes back", "It is to come back", "carriage", "How it goes", "swells")
    assert not [words for words in unsaid if words in shown]
    assert 'href="tel:01632960123"' in shown


def test_page_of_the_order_says_the_danger_first(
    stranger: Client, booked: Build, now: datetime
) -> None:
    shown = text(stranger, order_page(booked, now))
    assert shown.index(str(HARMED)) < shown.index("<article")


def test_staff_are_not_offered_to_send_how_to_post_it(owner_client: Client, found: Return) -> None:
    shown = text(owner_client, f"/returns/{found.number}/")
    assert "how to post it" not in shown
    assert "that it must not be posted" in shown


def test_booking_says_to_call_and_nothing_of_a_box(
    bench_client: Client, found: Return, now: datetime
) -> None:
    answer = bench_client.post(f"/returns/{found.number}/build/", follow=True)
    shown = answer.content.decode()
    assert "When the box comes" not in shown
    assert "Its cell is damaged: call them first." in shown


def test_whoever_logs_its_arrival_reads_the_danger(bench_client: Client, booked: Build) -> None:
    shown = text(bench_client, f"/intake/new/?build={booked.number}")
    assert "said that the cell of Copperfen is damaged" in shown
