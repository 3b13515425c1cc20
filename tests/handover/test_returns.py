"""Returns: announced, numbered, decided, made a build of, or come to nothing."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.db import DatabaseError, transaction

from builds.gates.conditions import conditions
from builds.handover.actions.returns import (
    Facts,
    Verdict,
    announce,
    decide,
    end_return,
    make_build,
    open_again,
    seen_as,
)
from builds.handover.models import Return
from builds.handover.queries.returns import by_number, wants_word
from builds.handover.refusals import Refused
from builds.models import Build
from builds.progress.states import Kind, State
from shop.history.queries import entries_about
from shop.models import Answer, User
from shop.orders.queries.ledger import standing
from shop.web.speech import speaking
from tests.handover.making import DEAD, announced, covered, left
from tests.makers import make_build as make
from tests.makers import make_tray

pytestmark = pytest.mark.django_db


@pytest.fixture
def sent(owner: User, now: datetime) -> Build:
    return left(make(owner, now, State.DISPATCH, tray=make_tray()), now)


@pytest.fixture
def found(sent: Build, now: datetime) -> Return:
    return announced(sent, now)


def test_numbers_run_without_gaps(owner: User, now: datetime) -> None:
    builds = [left(make(owner, now, State.DISPATCH, tray=make_tray()), now) for _ in range(3)]
    assert [str(announced(build, now)) for build in builds] == ["R0001", "R0002", "R0003"]


def test_double_tap_announces_once(sent: Build, now: datetime) -> None:
    token = uuid4()
    first = announce(sent, DEAD, token=token, by=None, now=now)
    assert announce(sent, DEAD, token=token, by=None, now=now) == first
    assert Return.objects.count() == 1


def test_hilt_is_announced_once_until_it_came_to_something(found: Return, now: datetime) -> None:
    with pytest.raises(Refused, match="announced already, under the number R0001"):
        announced(found.build, now)


def test_what_has_not_left_cannot_come_back(owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="has not left"):
        announced(make(owner, now, State.TEST, tray=make_tray()), now)


def test_what_is_on_the_books_is_not_announced(found: Return, owner: User, now: datetime) -> None:
    made = make_build(found.pk, by=owner, now=now)
    with pytest.raises(Refused, match=str(made)):
        announced(found.build, now)


def test_return_says_what_is_wrong(sent: Build, now: datetime) -> None:
    with pytest.raises(Refused, match="what is wrong"):
        announce(sent, Facts("  ", "fine"), token=uuid4(), by=None, now=now)


def test_what_was_announced_is_never_rewritten(found: Return) -> None:
    with pytest.raises(DatabaseError, match="fixed"), transaction.atomic():
        Return.objects.filter(pk=found.pk).update(words="it was never so")


def test_covered_return_becomes_a_warranty_build_that_costs_nothing(
    found: Return, owner: User, now: datetime
) -> None:
    covered(found, owner, now)
    made = make_build(found.pk, by=owner, now=now)
    assert (made.kind, made.hilt, made.state) == (Kind.WARRANTY, found.build.hilt, State.BOOKED)
    asked = {each.code: each.state for each in conditions([made.pk])[made.pk]}
    assert asked["agreed"] == "met"
    assert "deposit" not in asked
    assert not standing(made.item.order).is_of_money
    assert made.item.order.price_note.endswith("you pay nothing for the work.")


def test_what_is_not_covered_is_a_repair_to_be_agreed(
    found: Return, owner: User, now: datetime
) -> None:
    decide(found.pk, Verdict("not-covered", "dropped", "customer"), seen="", by=owner, now=now)
    made = make_build(found.pk, by=owner, now=now)
    asked = {each.code: each.state for each in conditions([made.pk])[made.pk]}
    assert (made.kind, asked["agreed"]) == (Kind.REPAIR, "unmet")


def test_made_twice_it_is_one_build(found: Return, owner: User, now: datetime) -> None:
    made = make_build(found.pk, by=owner, now=now)
    assert make_build(found.pk, by=owner, now=now) == made
    assert Build.objects.filter(hilt=made.hilt).count() == 2


def test_decision_after_the_build_was_made_goes_over_to_it(
    found: Return, owner: User, now: datetime
) -> None:
    made = make_build(found.pk, by=owner, now=now)
    assert not Answer.objects.filter(item=made.item, kind="agreed").exists()
    covered(found, owner, now)
    agreed = Answer.objects.get(item=made.item, kind="agreed")
    assert (agreed.by_customer, agreed.how) == (False, "person")
    assert "decided about R0001" in agreed.text
    assert found.words not in agreed.text
    found.refresh_from_db()
    otherwise = Verdict("not-covered", "it was dropped", "customer")
    decide(found.pk, otherwise, seen=seen_as(found), by=owner, now=now)
    made.refresh_from_db()
    asked = {each.code: each for each in conditions([made.pk])[made.pk]}
    assert made.kind == Kind.REPAIR
    assert (asked["agreed"].state, asked["agreed"].text) == ("unmet", "Not agreed yet")


def test_the_other_tablet_is_told_who_decided_first(
    found: Return, owner: User, now: datetime
) -> None:
    covered(found, owner, now)
    with pytest.raises(Refused, match="Oda decided first"):
        decide(found.pk, Verdict("goodwill", "kindness", "both"), seen="", by=owner, now=now)


def test_the_same_decision_twice_is_one(found: Return, owner: User, now: datetime) -> None:
    covered(found, owner, now)
    covered(found, owner, now)
    texts = [line.text for line in entries_about(found.about)]
    assert texts == [
        "Decided: covered, carriage each one way: the switch broke",
        "Announced back: R0001",
    ]


def test_bench_does_not_decide(found: Return, bench_hand: User, now: datetime) -> None:
    with pytest.raises(Refused, match="Only the owner"):
        covered(found, bench_hand, now)


@pytest.mark.parametrize(
    "verdict", [Verdict("", "because", "shop"), Verdict("covered", " ", "shop"),
                Verdict("covered", "because", "")]
)  # fmt: skip
def test_decision_is_whole(verdict: Verdict, found: Return, owner: User, now: datetime) -> None:
    with pytest.raises(Refused):
        decide(found.pk, verdict, seen="", by=owner, now=now)


def test_it_may_come_to_nothing_and_be_taken_up_again(
    found: Return, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused, match="why"):
        end_return(found.pk, " ", by=owner, now=now)
    end_return(found.pk, "a flat battery", by=owner, now=now)
    end_return(found.pk, "a flat battery", by=owner, now=now)
    with pytest.raises(Refused, match="came to nothing"):
        make_build(found.pk, by=owner, now=now)
    open_again(found.pk, by=owner, now=now)
    assert open_again(found.pk, by=owner, now=now).is_open


def test_what_came_to_nothing_is_not_taken_up_beside_another(
    found: Return, owner: User, now: datetime
) -> None:
    end_return(found.pk, "a flat battery", by=owner, now=now)
    announced(found.build, now)
    with pytest.raises(Refused, match="announced already"):
        open_again(found.pk, by=owner, now=now)


def test_what_became_a_build_does_not_come_to_nothing(
    found: Return, owner: User, now: datetime
) -> None:
    made = make_build(found.pk, by=owner, now=now)
    with pytest.raises(Refused, match=f"It became build {made}"):
        end_return(found.pk, "no", by=owner, now=now)


@pytest.mark.parametrize("text", ["R0001", "r1", " R 1 ", "r0001"])
def test_number_on_the_box_finds_the_return(text: str, found: Return) -> None:
    assert by_number(text) == found


@pytest.mark.parametrize("text", ["0001", "1", "R", "Rune", "R0002", "R12345678901"])
def test_anything_else_finds_none(text: str, found: Return) -> None:
    assert by_number(text) is None


def test_harmed_cell_is_answered_first(owner: User, now: datetime, found: Return) -> None:
    other = left(make(owner, now, State.DISPATCH, tray=make_tray()), now)
    harmed = announce(other, Facts("hot", "harmed"), token=uuid4(), by=None, now=now)
    assert wants_word() == [harmed, found]


def test_what_a_return_writes_down_is_in_the_language_of_the_shop(
    found: Return, owner: User, now: datetime
) -> None:
    with speaking("de"):
        covered(found, owner, now)
        made = make_build(found.pk, by=owner, now=now)
    assert made.item.order.note == f"Return {found} of build {found.build}"
    assert made.item.order.price_note.endswith("you pay nothing for the work.")
    text = Answer.objects.get(item=made.item, kind="agreed").text
    assert text.startswith(f"It follows from what we decided about {found}: The warranty")
