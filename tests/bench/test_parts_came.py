"""A hold that waits for parts on order: late ones say so, and what came lets the build go on."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client

from builds.bench.actions.digest import send_digest
from builds.bench.queries.board import open_rows
from builds.bench.queries.today import wants
from builds.gates.conditions import LEAVE, conditions
from builds.models import Build, Hold
from builds.progress import actions as progress
from builds.progress.actions import Refused
from builds.progress.queries import open_holds
from builds.progress.states import State
from builds.queue.actions import chase
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.models import User
from shop.post.models import Message, Occasion
from shop.stores.actions import buying
from shop.stores.actions.stock import receive
from shop.stores.models import Delivery, Part, Purchase
from tests.bench import stands
from tests.bench.pages import part as part_of_page
from tests.bench.pages import tap, words
from tests.makers import make_part
from tests.smtp import Received
from tests.stores.bought import waits_for
from tests.stores.orders import deliver, line_of, make_draft, make_ordered

pytestmark = pytest.mark.django_db


@pytest.fixture
def board(owner: User, now: datetime) -> Part:
    return make_part(owner, now, name="sound board")


@pytest.fixture
def ordered(board: Part, owner: User, now: datetime) -> Purchase:
    return make_ordered(owner, now, (board, 2), expected_on=date(2026, 11, 30))


@pytest.fixture
def held(ordered: Purchase, board: Part, owner: User, now: datetime) -> Hold:
    build = stands.at_work(owner, now, State.INSTALL)
    return progress.hold(build.pk, fields=waits_for(ordered, board, now), by=owner, now=now)


def is_held(build: Build) -> bool:
    known = conditions([build.pk], LEAVE)[build.pk]
    return any(one.code.startswith("hold-") for one in known)


def said_today(now: datetime) -> list[str]:
    diary = calendar(house())
    return [f"{one.what}: {one.why}" for one in wants(open_rows(diary, now), diary, now)]


def sheet(client: Client, build: Build) -> str:
    return words(part_of_page(client.get(f"/build/{build.number}/"), "holds"))


def test_build_waits_until_all_of_the_line_has_come(
    held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (board, 1))
    assert is_held(held.build)
    deliver(ordered, owner, now, (board, 1))
    assert not is_held(held.build)
    assert open_holds([held.build_id]) == {}
    held.refresh_from_db()
    assert held.ended_at is None


def test_today_says_what_came_until_somebody_takes_note(
    held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (board, 2))
    line = f"{held.build.hilt}: came: sound board – it can go on"
    assert line in said_today(now)
    progress.end_hold(held.pk, by=owner, now=now)
    assert line not in said_today(now)


def test_sheet_says_when_the_parts_came_and_leads_to_the_message(
    bench_client: Client, held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (board, 2))
    assert "the parts came Wed 25 Nov" in sheet(bench_client, held.build)
    number = held.build.number
    tell = f"/build/{number}/tell/?occasion=came"
    answer = tap(bench_client, f"/build/{number}/hold/{held.pk}/end/", next=tell)
    assert answer.redirect_chain[-1][0] == tell
    assert "What" in words(answer)
    assert "was waiting for has come" in words(answer)


def test_message_is_no_longer_the_first_choice_once_it_was_sent(
    bench_client: Client, held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (board, 2))
    url = f"/build/{held.build.number}/tell/"
    assert bench_client.get(url).context["occasion"] == Occasion.CAME
    customer = held.build.item.order.customer
    Message.objects.create(
        key="came", about=held.build.about, occasion="came", customer=customer, state="sent",
        to=customer.email, made_at=now, not_before=now,
    )  # fmt: skip
    assert bench_client.get(url).context["occasion"] != Occasion.CAME


def test_hold_says_when_its_parts_are_expected(
    bench_client: Client, held: Hold, ordered: Purchase
) -> None:
    assert f"{ordered}, expected Mon 30 Nov" in sheet(bench_client, held.build)


def test_late_line_says_by_how_many_days(
    bench_client: Client, clock: Any, held: Hold, ordered: Purchase, now: datetime
) -> None:
    clock.at = now + timedelta(days=8)
    assert f"{ordered}, expected Mon 30 Nov, late by 3 days" in sheet(bench_client, held.build)
    late = f"{ordered}, {ordered.supplier}: late by 3 days: 2 × sound board"
    assert late in said_today(clock.at)
    assert late not in said_today(now)


def test_line_that_was_given_up_says_so_and_holds_on(
    bench_client: Client, held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    buying.drop_line(ordered.pk, line_of(ordered, board).pk, by=owner, now=now)
    assert "given up, it will not come" in sheet(bench_client, held.build)
    assert is_held(held.build)


def test_nobody_is_reminded_to_ask_for_what_has_come(
    held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    deliver(ordered, owner, now, (board, 2))
    assert chase(now + timedelta(days=7)) == 0


def test_late_orders_stand_in_the_mornings_list(
    ordered: Purchase, owner: User, now: datetime
) -> None:
    sent = send_digest(now + timedelta(days=8))
    assert sent
    assert f"- {ordered}, {ordered.supplier}: late by 3 days: 2 × sound board" in sent.body


def test_hold_form_offers_what_is_on_order(
    bench_client: Client, owner: User, ordered: Purchase, board: Part, now: datetime
) -> None:
    build = stands.at_work(owner, now, State.INSTALL)
    page = sheet(bench_client, build)
    assert f"2 × sound board · {ordered}, Mon 30 Nov" in page
    answer = tap(
        bench_client, f"/build/{build.number}/hold/", reason="parts", turn="customer", words="",
        line=line_of(ordered, board).pk, chase_on="2026-12-01", before="",
    )  # fmt: skip
    assert answer.status_code == 200
    made = Hold.objects.get(build=build)
    assert (made.line, made.words, made.turn) == (
        line_of(ordered, board), "sound board", "supplier"
    )  # fmt: skip


def test_hold_for_an_answer_waits_for_no_order(
    bench_client: Client, owner: User, ordered: Purchase, board: Part, now: datetime
) -> None:
    build = stands.at_work(owner, now, State.INSTALL)
    answer = tap(
        bench_client, f"/build/{build.number}/hold/", reason="answer", turn="customer",
        words="which colour", line=line_of(ordered, board).pk, chase_on="2026-12-01", before="",
    )  # fmt: skip
    assert answer.status_code == 422
    assert "Only a hold for parts waits for an order" in words(answer)
    assert "which colour" in answer.content.decode()


def test_hold_form_without_orders_asks_for_none(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = stands.at_work(owner, now, State.INSTALL)
    assert "Waits for this order" not in sheet(bench_client, build)


def test_what_has_come_or_was_given_up_is_waited_for_by_nobody(
    ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    build = stands.at_work(owner, now, State.INSTALL)
    deliver(ordered, owner, now, (board, 2))
    with pytest.raises(Refused, match="has come already"):
        progress.hold(build.pk, fields=waits_for(ordered, board, now), by=owner, now=now)


def test_line_that_a_build_waits_for_is_not_taken_off_a_draft(
    board: Part, owner: User, now: datetime
) -> None:
    build, draft = stands.at_work(owner, now, State.INSTALL), make_draft(owner, now, (board, 1))
    held = progress.hold(build.pk, fields=waits_for(draft, board, now), by=owner, now=now)
    with pytest.raises(buying.Refused, match="on hold for it"):
        buying.drop_line(draft.pk, line_of(draft, board).pk, by=owner, now=now)
    progress.end_hold(held.pk, by=owner, now=now)
    buying.drop_line(draft.pk, line_of(draft, board).pk, by=owner, now=now)
    assert not draft.lines.exists()


@pytest.fixture
def told(
    bench_client: Client, held: Hold, ordered: Purchase, board: Part, owner: User, now: datetime,
    smtp_server: Received,
) -> Message:  # fmt: skip
    """That the parts came, as its customer is to be told by mail."""
    deliver(ordered, owner, now, (board, 2))
    words = {"occasion": "came", "subject": "It goes on", "body": "The board came."}
    tap(bench_client, f"/build/{held.build.number}/tell/", token=uuid4(), **words)
    return Message.objects.get(occasion="came")


def take_back(client: Client, logged: Delivery) -> str:
    """Tap "take it back", and read what the page says."""
    return words(tap(client, f"/stores/orders/{logged.purchase}/came/{logged.pk}/back/"))


def test_news_of_parts_is_withdrawn_with_their_delivery(
    bench_client: Client, told: Message, ordered: Purchase
) -> None:
    assert told.state == "queued"
    assert "Told already" not in take_back(bench_client, ordered.deliveries.get())
    told.refresh_from_db()
    assert told.state == "withdrawn"


def test_who_was_told_of_parts_that_never_came_is_named(
    bench_client: Client, told: Message, ordered: Purchase
) -> None:
    Message.objects.filter(pk=told.pk).update(state="sent")
    customer = told.customer
    assert customer
    said = take_back(bench_client, ordered.deliveries.get())
    assert f"Told already that the parts came, write again: {customer.called}." in said


def test_news_stands_where_the_parts_came_all_the_same(
    bench_client: Client, told: Message, ordered: Purchase, board: Part, owner: User, now: datetime
) -> None:
    line = line_of(ordered, board)
    surplus = Delivery.objects.create(token=uuid4(), purchase=ordered, came_at=now, by=owner)
    row = surplus.lines.create(line=line, quantity=1)
    receive(board, 1, token=uuid4(), by=owner, now=now, cost_minor=None, delivery_line=row)
    take_back(bench_client, surplus)
    told.refresh_from_db()
    assert told.state == "queued"
