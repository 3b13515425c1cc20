"""Nothing above the agreed ceiling is worked without a yes."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.gates.conditions import MET, UNMET, Condition, conditions
from builds.hilts.actions import add_section
from builds.models import Build
from builds.progress.states import State
from builds.teardown.models import Attempt
from shop.models import House, Order, Quote, User
from shop.orders.actions import (
    LineFacts,
    answer_quote,
    draft_quote,
    quote_seen,
    save_draft,
    send_quote,
)
from shop.orders.models import LineOf
from shop.stores.models import Part
from tests.makers import make_build, make_part

HOURS = LineFacts(LineOf.HOURS, "Wiring", 6000, 10_000, 4000, 0)  # 400.00; the ceiling is 480.00
BOARD = LineFacts(LineOf.EXTRA, "Board", 1000, 1000, 10_000, 0)


@pytest.fixture
def build(owner: User, now: datetime, house: House) -> Build:
    House.objects.update(currency="GBP", hour_minor=4000)
    return make_build(owner, now, State.TEARDOWN)


def agree(order: Order, by: User, now: datetime, *lines: LineFacts) -> Quote:
    draft = draft_quote(order, token=uuid4(), by=by, now=now, because="more")
    save_draft(draft.pk, lines, {}, seen=quote_seen(draft), by=by, now=now)
    send_quote(draft.pk, seen=quote_seen(draft), by=by, now=now)
    return answer_quote(draft.pk, is_yes=True, how="page", now=now)


def plan(build: Build, price: int | None, by: User, now: datetime) -> None:
    part = make_part(by, now)
    Part.objects.filter(pk=part.pk).update(price_minor=price)
    build.parts.create(token=uuid4(), part=part, kind=part.kind, planned_at=now, planned_by=by)


def ceiling(build: Build) -> Condition | None:
    found = {each.code: each for each in conditions([build.pk])[build.pk]}
    return found.get("ceiling")


def test_without_an_agreed_quote_nothing_is_asked(build: Build) -> None:
    assert ceiling(build) is None


def test_exactly_at_the_ceiling_passes_and_a_penny_more_does_not(
    build: Build, owner: User, now: datetime
) -> None:
    agree(build.item.order, owner, now, HOURS)
    plan(build, 8000, owner, now)
    assert ceiling(build).state == MET  # type: ignore[union-attr]
    plan(build, 1, owner, now)
    found = ceiling(build)
    assert found is not None
    assert (found.state, found.never_pass) == (UNMET, True)
    assert not any(sign.isdigit() for sign in found.text)


def test_parts_that_were_quoted_are_counted_once(build: Build, owner: User, now: datetime) -> None:
    agree(build.item.order, owner, now, HOURS, BOARD)
    plan(build, 10_000 + 10_000, owner, now)  # 100.00 above what was quoted, a fifth of 500.00
    assert ceiling(build).state == MET  # type: ignore[union-attr]


def test_what_has_no_price_is_said_to_be_left_out(build: Build, owner: User, now: datetime) -> None:
    agree(build.item.order, owner, now, HOURS)
    plan(build, None, owner, now)
    found = ceiling(build)
    assert found is not None
    assert "1 planned part has no price" in found.text


def test_a_stuck_joint_eats_up_the_ceiling_until_a_change_is_agreed(
    build: Build, owner: User, now: datetime
) -> None:
    agree(build.item.order, owner, now, HOURS)
    assert build.hilt is not None
    section = add_section(build.hilt, "coupling", token=uuid4(), by=owner, now=now)
    joint = section.joints.create(kind="thread")
    Attempt.objects.create(
        token=uuid4(), build=build, joint=joint, means="hands", minutes=121, came="holds",
        by=owner, at=now + timedelta(hours=1),
    )  # fmt: skip
    assert ceiling(build).state == UNMET  # type: ignore[union-attr]
    agree(build.item.order, owner, now + timedelta(hours=2), HOURS, BOARD)
    assert ceiling(build).state == MET  # type: ignore[union-attr]
