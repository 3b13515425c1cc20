"""Claims: dead parts leave stock, go back, and come again as new ones or as money."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID, uuid4

import pytest

from shop.history.queries import entries_about
from shop.models import User
from shop.stores.actions import Overtaken, Refused, Short
from shop.stores.actions.claims import move_claim, open_claim
from shop.stores.models import Claim, ClaimState, Part, StockLevel, Supplier
from shop.stores.queries.claims import old_claims
from shop.web.speech import speaking
from tests.makers import make_part
from tests.stores.orders import deliver, line_of, make_ordered, make_supplier

pytestmark = pytest.mark.django_db


@pytest.fixture
def part(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 3, name="speaker, 28 mm")


@pytest.fixture
def supplier(owner: User, now: datetime) -> Supplier:
    return make_supplier(owner, now)


def claim(part: Part, supplier: Supplier, by: User, now: datetime, **facts: Any) -> Claim:
    known = {"fault": "hums", "serial": "", "about": "", "whose": "", "token": uuid4()}
    quantity = facts.pop("quantity", 1)
    return open_claim(part, quantity, supplier=supplier, **{**known, **facts}, by=by, now=now)


def move(found: Claim, to: str, by: User, now: datetime, token: UUID | None = None) -> Claim:
    return move_claim(found.pk, to, seen=found.state, by=by, now=now, token=token or uuid4())


def on_hand(part: Part) -> int:
    return StockLevel.objects.get(part=part).on_hand


def test_dead_part_leaves_stock(part: Part, supplier: Supplier, owner: User, now: datetime) -> None:
    claim(part, supplier, owner, now, quantity=2)
    assert on_hand(part) == 1
    assert part.ledger.filter(reason="claim: hums").count() == 1


def test_double_tap_claims_once(part: Part, supplier: Supplier, owner: User, now: datetime) -> None:
    token = uuid4()
    first = claim(part, supplier, owner, now, token=token)
    assert claim(part, supplier, owner, now, token=token) == first
    assert on_hand(part) == 2


def test_part_found_dead_in_a_build_left_stock_as_it_was_fitted(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    claim(part, supplier, owner, now, about="build:142", whose="0142 Copperfen")
    assert on_hand(part) == 3
    assert [line.text for line in entries_about("build:142")] == [
        "Claim opened: 1 of speaker, 28 mm"
    ]


def test_more_than_lies_in_stock_is_not_claimed(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    with pytest.raises(Short):
        claim(part, supplier, owner, now, quantity=4)
    assert not Claim.objects.exists()


def test_claim_says_what_is_wrong(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="what is wrong"):
        claim(part, supplier, owner, now, fault=" ")


def test_claim_knows_the_order_that_it_came_with(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    made = make_ordered(owner, now, (part, 1), supplier=supplier)
    deliver(made, owner, now, (part, 1))
    assert claim(part, supplier, owner, now).line == line_of(made, part)


def test_replaced_ones_go_to_stock_once(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    found = move(claim(part, supplier, owner, now, quantity=2), ClaimState.SENT, owner, now)
    for _ in range(2):
        move_claim(found.pk, ClaimState.REPLACED, seen="sent", by=owner, now=now, token=uuid4())
    assert on_hand(part) == 3


@pytest.mark.parametrize("end", [ClaimState.CREDITED, ClaimState.REFUSED])
def test_money_back_or_refused_puts_nothing_into_stock(
    part: Part, supplier: Supplier, owner: User, now: datetime, end: str
) -> None:
    move(claim(part, supplier, owner, now), end, owner, now)
    assert on_hand(part) == 2


def test_settled_claim_stays_settled(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    found = move(claim(part, supplier, owner, now), ClaimState.REFUSED, owner, now)
    with pytest.raises(Refused, match="settled"):
        move(found, ClaimState.REPLACED, owner, now)


def test_other_tablet_is_told_how_far_a_claim_has_come(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    found = claim(part, supplier, owner, now)
    move_claim(found.pk, "sent", seen="open", by=owner, now=now, token=uuid4())
    with pytest.raises(Overtaken, match="“sent back” already"):
        move_claim(found.pk, "credited", seen="open", by=owner, now=now, token=uuid4())


def test_claim_is_old_after_a_week_without_news(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    found = claim(part, supplier, owner, now)
    assert list(old_claims(now + timedelta(days=7))) == []
    later = now + timedelta(days=7, minutes=1)
    assert list(old_claims(later)) == [found]
    move(found, ClaimState.SENT, owner, later)
    assert list(old_claims(later)) == []


def test_why_stock_moved_is_in_the_language_of_the_shop(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    with speaking("de"):
        move(claim(part, supplier, owner, now), ClaimState.REPLACED, owner, now)
    reasons = list(part.ledger.order_by("pk").values_list("reason", flat=True))
    assert reasons[-2:] == ["claim: hums", "replaced on a claim"]
