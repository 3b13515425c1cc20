"""Money at the gates: the deposit before work begins, the rest before a hilt leaves."""

from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import uuid4

import pytest

from builds.gates import actions as gates
from builds.gates.actions import let_by
from builds.gates.conditions import Condition, conditions, ending_conditions
from builds.models import Build, Move
from builds.progress.states import State
from shop.models import House, User
from shop.orders.actions import add_item
from shop.orders.actions.papers import issue
from shop.orders.actions.payments import pay
from shop.orders.models import Account, ItemKind, Order
from shop.orders.queries.invoicing import PaperLine
from shop.orders.queries.ledger import standing
from tests.makers import make_agreed, make_build, make_parcel, make_tray

pytestmark = pytest.mark.django_db


def asked(build: Build, code: str, *, ending: bool = False) -> Condition | None:
    found = ending_conditions(build.pk) if ending else conditions([build.pk])[build.pk]
    return next((one for one in found if one.code == code), None)


def state(build: Build, code: str, *, ending: bool = False) -> str:
    condition = asked(build, code, ending=ending)
    return condition.state if condition else "not asked"


def came(order: Order, amount: int, by: User, now: datetime, kind: str = "payment") -> None:
    more: dict[str, Any] = {"because": "a reason"}
    pay(order, kind, amount, "cash", "", now.date(), token=uuid4(), by=by, now=now, **more)


def test_no_deposit_is_asked_where_none_was_agreed(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    assert state(build, "deposit") == "not asked"
    make_agreed(build.item.order, owner, now, 45_000)
    assert state(build, "deposit") == "not asked"


def test_deposit_opens_the_way_out_of_booked(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    make_agreed(build.item.order, owner, now, 45_000, deposit=9_000)
    assert state(build, "deposit") == "unmet"
    came(build.item.order, 8_999, owner, now)
    assert state(build, "deposit") == "unmet"
    came(build.item.order, 1, owner, now)
    assert state(build, "deposit") == "met"


def test_on_account_no_deposit_is_asked_and_the_rest_may_follow(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    make_agreed(build.item.order, owner, now, 45_000, deposit=9_000)
    Account.objects.create(customer=build.item.order.customer)
    assert state(build, "deposit") == "not asked"
    Build.objects.update(state=State.DISPATCH, tray=make_tray())
    assert state(build, "settled") == "met"


def test_above_its_limit_an_account_lets_nothing_leave(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    make_agreed(build.item.order, owner, now, 45_000)
    account = Account.objects.create(customer=build.item.order.customer, limit_minor=45_000)
    assert state(build, "settled") == "met"
    account.limit_minor = 44_999
    account.save()
    condition = asked(build, "settled")
    assert condition
    assert condition.text == "The customer’s account is above its limit"


def test_bench_reads_no_sum_at_the_gate(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    make_agreed(build.item.order, owner, now, 45_000, deposit=9_000)
    condition = asked(build, "deposit")
    assert condition
    assert not any(sign.isdigit() for sign in condition.text + condition.deed)


def test_owner_may_let_the_deposit_by(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    make_agreed(build.item.order, owner, now, 45_000, deposit=9_000)
    let_by(build.pk, "deposit", reason="an old friend", by=owner, now=now)
    assert state(build, "deposit") == "passed"


@pytest.mark.parametrize("kind", ["payment", "written-off"])
def test_hilt_leaves_paid_or_written_off(kind: str, owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    assert state(build, "settled") == "not asked"
    make_agreed(build.item.order, owner, now, 45_000)
    came(build.item.order, 44_999, owner, now)
    assert state(build, "settled") == "unmet"
    came(build.item.order, 1, owner, now, kind)
    assert state(build, "settled") == "met"


@pytest.fixture
def pair(owner: User, now: datetime) -> tuple[Build, Build]:
    """Two builds of one order in dispatch, 300.00 and 100.00, and 40.00 for the post."""
    one, other = make_build(owner, now, State.DISPATCH), make_build(owner, now, State.DISPATCH)
    order = one.item.order
    other.item.order = order
    other.item.save()
    lines = ((one.item, 30_000), (other.item, 10_000), (None, 4_000))
    each = [{"item": item, "each_minor": minor} for item, minor in lines]
    make_agreed(order, owner, now, 44_000, lines=each)
    return one, other


def test_first_of_two_leaves_for_its_own_part(
    pair: tuple[Build, Build], owner: User, now: datetime
) -> None:
    one, other = pair
    came(one.item.order, 10_000, owner, now)
    assert (state(one, "settled"), state(other, "settled")) == ("unmet", "met")


def test_last_of_two_leaves_when_all_is_paid(
    pair: tuple[Build, Build], owner: User, now: datetime
) -> None:
    one, other = pair
    came(one.item.order, 40_000, owner, now)
    Build.objects.filter(pk=one.pk).update(state=State.SENT, tray=None)
    assert state(other, "settled") == "unmet"
    came(one.item.order, 4_000, owner, now)
    assert state(other, "settled") == "met"


def test_two_in_one_parcel_are_paid_together(
    pair: tuple[Build, Build], owner: User, now: datetime
) -> None:
    one, other = pair
    came(one.item.order, 30_000, owner, now)
    assert state(one, "settled") == "met"
    make_parcel([one, other], owner, now)
    assert (state(one, "settled"), state(other, "settled")) == ("unmet", "unmet")


def test_unfinished_a_deposit_may_stay_by_the_shops_rule(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    make_agreed(build.item.order, owner, now, 45_000, deposit=9_000)
    came(build.item.order, 9_000, owner, now, "deposit")
    assert state(build, "settled", ending=True) == "met"
    House.objects.update(keeps_deposit=False)
    assert state(build, "settled", ending=True) == "unmet"
    came(build.item.order, 9_000, owner, now, "refund")
    assert state(build, "settled", ending=True) == "met"


def test_unfinished_what_came_above_the_deposit_goes_back(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    make_agreed(build.item.order, owner, now, 45_000, deposit=9_000)
    came(build.item.order, 20_000, owner, now)
    condition = asked(build, "settled", ending=True)
    assert condition
    assert (condition.state, condition.text) == ("unmet", "Money is to go back")
    came(build.item.order, 11_000, owner, now, "refund")
    assert state(build, "settled", ending=True) == "met"


def test_unfinished_nothing_is_asked_while_others_go_on(
    pair: tuple[Build, Build], owner: User, now: datetime
) -> None:
    came(pair[0].item.order, 20_000, owner, now)
    assert state(pair[0], "settled", ending=True) == "not asked"


def test_goods_beside_a_build_hold_nothing_up(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.DISPATCH)
    add_item(build.item.order, ItemKind.GOODS, "a spare blade", owner, now)
    make_agreed(build.item.order, owner, now, 100)
    came(build.item.order, 100, owner, now)
    assert state(build, "settled") == "met"


def end(build: Build, by: User, now: datetime) -> Move:
    return gates.end(
        build.pk, State.WITHDRAWN, token=uuid4(), expected=build.state, reason="changed their mind",
        by=by, now=now,
    )  # fmt: skip


def test_withdrawn_with_its_deposit_kept_owes_nothing(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    order = build.item.order
    make_agreed(order, owner, now, 45_000, deposit=9_000)
    came(order, 9_000, owner, now, "deposit")
    assert standing(order).due == 36_000
    moved = end(build, owner, now)
    stands = standing(order)
    assert (stands.due, stands.too_much, stands.received) == (0, 0, 9_000)
    gates.undo(moved.pk, token=uuid4(), by=owner, now=now + timedelta(seconds=30))
    assert standing(order).due == 36_000


def test_what_was_invoiced_of_a_withdrawn_job_is_owed(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    order = build.item.order
    Account.objects.create(customer=order.customer)
    line = PaperLine("hours until then", Decimal(2), 4_200)
    issue(order, [line], token=uuid4(), by=owner, now=now)
    end(build, owner, now)
    assert standing(order).due == 8_400


def test_other_jobs_of_the_order_are_owed_as_agreed(
    pair: tuple[Build, Build], owner: User, now: datetime
) -> None:
    end(pair[0], owner, now)
    assert standing(pair[0].item.order).due == 44_000
