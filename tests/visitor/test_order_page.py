"""What an order's private page says in each state, and what it never says."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from builds.dispatch.actions import close_parcel
from builds.intake.actions import match, note_condition, receive, unmatch
from builds.progress.actions import hold
from builds.progress.models import Build
from builds.progress.states import HoldReason, Leaves, State, Turn
from builds.queue.actions import promise
from builds.queue.models import Promise
from shop.diary.models import Closure
from shop.models import House, Item, Order, User
from shop.orders.models import ItemKind
from tests.makers import make_service
from tests.visitor import making

MONDAY = date(2026, 11, 30)


def text(client: Client, url: str) -> str:
    """The page without the blanks of its source."""
    return " ".join(client.get(url).content.decode().split())


def stand(build: Build, state: str, now: datetime, by: User | None = None) -> None:
    """Put a build into a state; with ``by``, started."""
    build.state, build.state_since = state, now
    build.started_at, build.started_by = (now, by) if by else (None, None)
    if not build.is_open:
        build.tray = None
    build.save()


def promised(build: Build, day: date, by: User, at: datetime) -> None:
    Promise.objects.create(build=build, day=day, at=at, by=by)


def held(build: Build, by: User, now: datetime, turn: str, reason: str) -> None:
    fields = {
        "reason": reason,
        "turn": turn,
        "words": "the speaker of the batch",
        "before": "",
        "chase_on": MONDAY,
    }
    hold(build.pk, fields=fields, by=by, now=now)


def test_page_names_hilt_and_customer_as_she_is_called(
    stranger: Client, url: str, build: Build
) -> None:
    assert "Copperfen, for Ines" in text(stranger, url)


@pytest.mark.parametrize(
    "secret",
    ["Quillfeather", "Saltmarsh", "Northwick", "ines@example.com", "7946", "Oda", "Jory"],
)
def test_page_tells_no_surname_street_address_or_name_of_staff(
    stranger: Client, url: str, build: Build, owner: User, now: datetime, secret: str
) -> None:
    making.photo(build, owner, now, shared=True)
    promised(build, MONDAY, owner, now)
    assert secret not in text(stranger, url)


def test_page_shows_no_other_order_of_the_same_customer(
    stranger: Client, url: str, build: Build, order: Order, owner: User, now: datetime
) -> None:
    other = making.order(order.customer, now, number="2026-032")
    making.build(other, owner, now, hilt="Long Quiet")
    assert "Long Quiet" not in text(stranger, url)


@pytest.mark.parametrize(
    ("state", "is_started", "words"),
    [
        (State.BOOKED, False, "Your hilt is expected here"),
        (State.INTAKE, False, "Your hilt is here"),
        (State.INTAKE, True, "Your hilt is being looked over"),
        (State.TEARDOWN, True, "Your hilt is being taken apart"),
        (State.INSTALL, True, "Your hilt is being wired"),
        (State.TEST, True, "Your hilt is being tested"),
        (State.DISPATCH, False, "Your hilt is finished"),
        (State.SENT, False, "Your hilt is on its way to you"),
        (State.COLLECTED, False, "Your hilt is back with you"),
        (State.RETURNED, False, "Your hilt goes back to you unfinished"),
        (State.WITHDRAWN, False, "The work on your hilt was called off"),
        (State.ABANDONED, False, "The work on your hilt has ended"),
    ],
)
def test_headline_says_the_state_in_plain_words(
    stranger: Client,
    url: str,
    build: Build,
    owner: User,
    now: datetime,
    state: str,
    is_started: bool,
    words: str,
) -> None:
    stand(build, state, now, owner if is_started else None)
    assert f">{words}</h1>" in text(stranger, url)


def test_order_of_several_builds_heads_each_by_its_hilt(
    stranger: Client, url: str, build: Build, order: Order, owner: User, now: datetime
) -> None:
    making.build(order, owner, now, hilt="Long Quiet", state=State.TEST)
    page = text(stranger, url)
    assert "Your order 2026-031" in page
    assert "Long Quiet is built and waits for its tests" in page


def test_promised_day_is_the_latest_day_for_posting(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    promised(build, MONDAY, owner, now)
    assert "Posted by Monday 30 November" in text(stranger, url)


def test_build_to_be_collected_is_ready_by_its_day(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    build.leaves_by = Leaves.COLLECTION
    build.save()
    promised(build, MONDAY, owner, now)
    assert "Ready to collect by Monday 30 November" in text(stranger, url)


def test_day_that_has_passed_is_owned_up_to(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    promised(build, date(2026, 11, 20), owner, now - timedelta(days=20))
    page = text(stranger, url)
    assert "Was to be posted by Friday 20 November" in page
    assert "We are late, and sorry." in page


def test_customers_own_waiting_moves_the_day_openly(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    promised(build, MONDAY, owner, now - timedelta(days=5))
    held(build, owner, now - timedelta(days=4), Turn.CUSTOMER, HoldReason.ANSWER)
    page = text(stranger, url)
    assert "Posted by Friday 4 December" in page
    assert "First told: Monday 30 November." in page


def test_customer_sees_that_it_is_her_turn_and_what_for(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    held(build, owner, now, Turn.CUSTOMER, HoldReason.ANSWER)
    page = text(stranger, url)
    assert "We need your answer" in page
    assert "the speaker of the batch" in page


def test_hold_of_another_turn_shows_none_of_the_benchs_words(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    held(build, owner, now, Turn.SUPPLIER, HoldReason.PARTS)
    page = text(stranger, url)
    assert "A part is on its way to us. You need do nothing." in page
    assert "the speaker of the batch" not in page


@pytest.mark.parametrize("state", [State.BOOKED, State.INTAKE])
def test_condition_is_not_told_while_it_is_being_noted(
    stranger: Client, url: str, build: Build, owner: User, now: datetime, state: str
) -> None:
    note_condition(build, section="grip", grade="worn", words="old varnish", by=owner, now=now)
    stand(build, state, now)
    assert "old varnish" not in text(stranger, url)


def test_condition_is_told_once_intake_is_left(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    note_condition(build, section="grip", grade="worn", words="old varnish", by=owner, now=now)
    page = text(stranger, url)
    assert "<dt>grip</dt>" in page
    assert "old varnish" in page


def _marked(build: Build, by: User, now: datetime, *, shared: bool) -> None:
    photo = making.photo(build, by, now, shared=shared)
    note_condition(
        build, section="grip", grade="worn", words="thin", by=by, now=now, photo=photo,
        mark=(0.25, 0.5),
    )  # fmt: skip


def test_note_is_drawn_on_the_shared_photo_that_it_was_marked_on(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    _marked(build, owner, now, shared=True)
    page = text(stranger, url)
    assert '<circle cx="25.00%" cy="50.00%"' in page
    assert "photo with 1 mark" in page
    assert page.count("<img") == 1


def test_mark_on_a_photo_that_is_not_shared_is_told_in_words_alone(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    _marked(build, owner, now, shared=False)
    page = text(stranger, url)
    assert "<b>worn</b>: thin" in page
    assert "<circle" not in page
    assert "mark-number" not in page


def test_condition_of_another_hilt_is_not_told(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    stand(build, State.INTAKE, now)
    wrong = receive(token=uuid4(), fields={"box": "sound"}, by=owner, now=now)
    match(wrong, build, owner, now)
    note_condition(build, section="grip", grade="worn", words="old varnish", by=owner, now=now)
    unmatch(wrong, build, owner, now)
    stand(build, State.TEARDOWN, now)
    assert "old varnish" not in text(stranger, url)


def test_closed_parcel_names_its_day(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    stand(build, State.DISPATCH, now)
    close_parcel([build], day=MONDAY, token=uuid4(), by=owner, now=now)
    page = text(stranger, url)
    assert "Your hilt is packed" in page
    assert "Leaves us on Monday 30 November" in page


def test_sent_build_shows_carrier_and_tracking(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    stand(build, State.DISPATCH, now)
    parcel = close_parcel([build], day=MONDAY, token=uuid4(), by=owner, now=now)
    parcel.carrier, parcel.tracking = "Fenpost", "FP 00 17"
    parcel.save()
    stand(build, State.SENT, now)
    page = text(stranger, url)
    assert "Posted on Wednesday 25 November" in page
    assert "Fenpost" in page
    assert "FP 00 17" in page


def test_expected_hilt_is_told_how_to_come(
    stranger: Client, url: str, build: Build, now: datetime
) -> None:
    House.objects.update(address="3 Larkhill Yard\nEastmere")
    stand(build, State.BOOKED, now)
    page = text(stranger, url)
    assert '<p class="box-number num">2026-031</p>' in page
    assert "3 Larkhill Yard" in page
    assert "Take the blade out." in page
    assert "must not be posted at all" in page
    assert "insured" in page


def test_expected_hilt_is_told_the_closed_days(
    stranger: Client, url: str, build: Build, now: datetime
) -> None:
    Closure.objects.create(first=date(2026, 12, 7), last=date(2026, 12, 9), reason="eye doctor")
    stand(build, State.BOOKED, now)
    page = text(stranger, url)
    assert "between Saturday 5 December and Wednesday 9 December" in page
    assert "Christmas Day" in page


@pytest.mark.parametrize(
    ("needed_by", "is_too_late"), [(date(2026, 12, 1), True), (date(2026, 12, 2), False)]
)
def test_day_by_which_it_is_needed_is_held_against_the_day_told(
    stranger: Client, url: str, build: Build, owner: User, now: datetime,
    needed_by: date, is_too_late: bool,
) -> None:  # fmt: skip
    make_service(transit_days=2)
    promise(build, date(2026, 11, 30), reason="", by=owner, now=now)
    Order.objects.update(needed_by=needed_by)
    page = text(stranger, url)
    assert f"You need it by {needed_by:%A} {needed_by.day} December." in page
    assert ("it may come too late" in page) == is_too_late


def test_who_is_to_post_it_is_asked_to_let_nothing_arrive_then(
    stranger: Client, url: str, build: Build, now: datetime
) -> None:
    asked = "Please don’t let it arrive between Monday 7 December and Wednesday 9 December"
    stand(build, State.BOOKED, now)
    assert asked not in text(stranger, url)
    Closure.objects.create(first=date(2026, 12, 7), last=date(2026, 12, 9), reason="eye doctor")
    assert asked not in text(stranger, url)  # the weekend before it is off as well
    assert asked.replace("Monday 7", "Saturday 5") in text(stranger, url)
    stand(build, State.INTAKE, now)
    assert "Please don’t let it arrive" not in text(stranger, url)


def test_why_the_shop_is_closed_stays_with_the_shop(
    stranger: Client, url: str, build: Build, now: datetime
) -> None:
    Closure.objects.create(first=date(2026, 12, 7), last=date(2026, 12, 9), reason="eye doctor")
    stand(build, State.BOOKED, now)
    assert "eye doctor" not in text(stranger, url)


def test_hilt_that_came_is_told_nothing_more_of_posting(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    stand(build, State.BOOKED, now)
    match(receive(token=uuid4(), fields={"box": "sound"}, by=owner, now=now), build, owner, now)
    page = text(stranger, url)
    assert "Your hilt is here" in page
    assert "Sending it to us" not in page


def test_goods_of_the_order_are_listed(
    stranger: Client, url: str, build: Build, order: Order
) -> None:
    Item.objects.create(order=order, kind=ItemKind.GOODS, wanted="blade, 32 in", quantity=2)
    page = text(stranger, url)
    assert "blade, 32 in" in page
    assert "× 2" in page


def test_markup_in_a_caption_is_only_text(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    photo.caption = "<b>joint</b>"
    photo.save()
    assert "<b>joint</b>" not in text(stranger, url)


def test_more_builds_and_photos_take_no_more_queries(
    stranger: Client, url: str, build: Build, order: Order, owner: User, now: datetime
) -> None:
    making.photo(build, owner, now, shared=True)
    with CaptureQueriesContext(
        connection,
    ) as few:
        stranger.get(url)
    for number, hilt in enumerate(["Long Quiet", "Weir House", "Heron"]):
        more = making.build(order, owner, now, hilt=hilt, state=State.TEST)
        making.photo(more, owner, now, shared=True, colour=f"#{number}0{number}0{number}0")
    with CaptureQueriesContext(connection) as many:
        stranger.get(url)
    assert len(many) <= len(few)
