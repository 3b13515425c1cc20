"""Twice, two at once, and what was built on it since: brought in once, taken back whole or not."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection

from builds.importing.actions import Overtaken, Refused, begun, checking, keeping, undoing, working
from builds.importing.models import Import, Made
from builds.importing.states import State
from builds.progress.models import Build
from shop.files.models import Blob
from shop.people.actions import add_staff, change_customer
from shop.people.models import Customer, User
from shop.stores.actions.stock import receive
from shop.stores.models import Part
from tests.importing.sheets import begin, bring_in, checked, fresh, kept, said, undone, xlsx
from tests.makers import at_once, make_part

pytestmark = pytest.mark.django_db
ROWS = xlsx(
    [["Name", "E-mail"], ["Wren Aldous", "w@example.com"], ["Ines Calder", "i@example.com"]]
)
ORDERS = xlsx([["Name", "Kind of job", "Hilt"], ["Wren Aldous", "repair", "Quiet Harbour"]])
LATER = timedelta(minutes=5)


def other(now: datetime, by: User) -> User:
    return add_staff(name="Pell", email="pell@larkhill.example", role="owner", by=by, now=now)


def test_the_same_token_is_one_import(owner: User, now: datetime) -> None:
    token = uuid4()
    first = begun.begin(ROWS, "a.xlsx", "customers", token=token, by=owner, now=now)
    second = begun.begin(ROWS, "a.xlsx", "customers", token=token, by=owner, now=now)
    assert first.pk == second.pk


def test_a_double_tap_brings_it_in_once(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    for _tap in range(2):
        keeping.confirm(one.pk, seen=one.stamp, again=False, by=owner, now=now)
        keeping.keep(one.pk, now)
    assert Customer.objects.count() == 2


def test_the_other_owner_is_told_who_was_first(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    keeping.confirm(one.pk, seen=one.stamp, again=False, by=owner, now=now)
    with pytest.raises(Overtaken, match="Oda was first"):
        keeping.confirm(one.pk, seen=one.stamp, again=False, by=other(now, owner), now=now)


def test_what_was_matched_otherwise_meanwhile_is_not_brought_in(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    begun.match(one.pk, one.mapping, {}, seen=one.stamp, now=now + LATER)
    with pytest.raises(Overtaken):
        keeping.confirm(one.pk, seen=one.stamp, again=False, by=owner, now=now + LATER)


@pytest.mark.django_db(transaction=True)
def test_two_owners_at_once_bring_it_in_once(owner: User, now: datetime) -> None:
    one, pell = checked(ROWS, "customers", owner, now), other(now, owner)

    def go(by: User) -> None:
        keeping.confirm(one.pk, seen=one.stamp, again=False, by=by, now=now)
        keeping.keep(one.pk, now)

    answers = at_once(lambda: go(owner), lambda: go(pell))
    assert sum(isinstance(each, Overtaken) for each in answers) == 1
    keeping.keep(one.pk, now)  # whichever worker comes last
    assert fresh(one).state == State.KEPT
    assert Customer.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_two_workers_at_once_bring_it_in_once(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    keeping.confirm(one.pk, seen=one.stamp, again=False, by=owner, now=now)
    assert sorted(at_once(*[lambda: keeping.keep(one.pk, now)] * 3)) == [False, False, True]
    assert Customer.objects.count() == 2
    assert connection.vendor


def test_the_same_file_is_asked_about(owner: User, now: datetime) -> None:
    bring_in(ROWS, "customers", owner, now)
    second = checked(ROWS, "customers", owner, now, doubles="ours")
    with pytest.raises(keeping.AgainAsked):
        keeping.confirm(second.pk, seen=second.stamp, again=False, by=owner, now=now)
    assert kept(second, owner, now, again=True).state == State.KEPT
    assert Customer.objects.count() == 2


def test_doubles_are_told_or_the_one_we_have_is_used(owner: User, now: datetime) -> None:
    bring_in(ROWS, "customers", owner, now)
    asked = checked(ROWS, "customers", owner, now)
    assert set(said(asked)) == {(2, "email"), (3, "email")}
    ours = checked(ROWS, "customers", owner, now, doubles="ours")
    assert (ours.stops, ours.new, ours.found) == (0, 0, 2)
    assert ours.findings.filter(stops=False).count() == 2


def test_what_changed_since_the_check_stops_it(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    keeping.confirm(one.pk, seen=one.stamp, again=False, by=owner, now=now)
    Customer.objects.create(called="Wren", full_name="W", email="w@example.com", since=now)
    assert not keeping.keep(one.pk, now)
    assert fresh(one).state == State.CHECKED
    assert set(said(fresh(one))) == {(2, "email")}
    assert Customer.objects.count() == 1


def test_a_row_that_fails_takes_all_others_with_it(
    owner: User, now: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    one = checked(ROWS, "customers", owner, now)
    keeping.confirm(one.pk, seen=one.stamp, again=False, by=owner, now=now)
    writer = keeping.WRITERS["customers"]

    class Breaks(writer):  # type: ignore[valid-type]
        def write(self, wish: object) -> list[object]:
            if Customer.objects.exists():
                raise OSError("the plug")
            return super().write(wish)  # type: ignore[no-any-return]

    monkeypatch.setattr(keeping, "WRITERS", {"customers": Breaks})
    with pytest.raises(OSError, match="the plug"):
        keeping.keep(one.pk, now)
    assert not Customer.objects.exists()
    monkeypatch.undo()
    assert not keeping.keep(one.pk, now)  # the lease of the dead worker holds still
    assert working.waiting(now + working.LEASE + LATER) == [one.pk]
    assert keeping.keep(one.pk, now + working.LEASE + LATER)
    assert Customer.objects.count() == 2


def test_what_fails_each_time_is_put_back_with_a_word(owner: User, now: datetime) -> None:
    one = begin(ROWS, "customers", owner, now)
    Import.objects.filter(pk=one.pk).update(tries=working.MOST_TRIES)
    working.give_up_the_worn_out(now)
    assert fresh(one).state == State.MATCHING
    assert "failed each time" in fresh(one).problem


def test_one_given_up_while_it_is_checked_stays_given_up(owner: User, now: datetime) -> None:
    one = begin(ROWS, "customers", owner, now)
    begun.drop(one.pk, by=owner, now=now)
    assert not checking.check(one.pk, now)
    assert fresh(one).state == State.DROPPED
    with pytest.raises(Refused, match="Take it back instead"):
        begun.drop(bring_in(ROWS, "customers", owner, now).pk, by=owner, now=now)


@pytest.mark.django_db(transaction=True)
def test_the_file_goes_when_the_import_ends(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    assert Blob.objects.count() == 1
    with pytest.raises(Overtaken):
        begun.take_corrected(one.pk, ROWS + b" ", "a.xlsx", seen="another", by=owner, now=now)
    assert Blob.objects.count() == 1
    kept(one, owner, now)
    assert not Blob.objects.exists()


def test_a_forgotten_sheet_is_let_go(owner: User, now: datetime) -> None:
    one = checked(ROWS, "customers", owner, now)
    assert working.forgotten(now + timedelta(days=29)) == []
    assert working.forgotten(now + timedelta(days=31)) == [one.pk]


def test_columns_are_remembered_for_the_same_headings(owner: User, now: datetime) -> None:
    sheet = xlsx([["Who", "Where to write"], ["Wren", "w@example.com"]])
    first = begun.begin(sheet, "a.xlsx", "customers", token=uuid4(), by=owner, now=now)
    assert first.is_guessed
    matched = {"full_name": {"column": 0}, "email": {"column": 1}}
    begun.match(first.pk, matched, {"doubles": "ours"}, seen=first.stamp, now=now)
    second = begun.begin(sheet, "b.xlsx", "customers", token=uuid4(), by=owner, now=now)
    assert (second.mapping, second.doubles, second.is_guessed) == (matched, "ours", False)


def test_undo_is_refused_where_something_was_built_on_it(owner: User, now: datetime) -> None:
    one = bring_in(ROWS, "customers", owner, now)
    wren = Customer.objects.get(email="w@example.com")
    change_customer(wren, {"phone": "01632 960100"}, owner, now + LATER)
    order = ["Ines", "i@example.com", "repair", "Long Weir"]
    sheet = xlsx([["Name", "E-mail", "Kind of job", "Hilt"], order])
    bring_in(sheet, "orders", owner, now)
    with pytest.raises(undoing.InTheWay) as stands:
        undoing.take_back(one.pk, by=owner, now=now + 2 * LATER)
    assert [each.row for each in stands.value.found] == [2, 3, 3]
    words = " ".join(each.sentence for each in stands.value.found)
    assert "Customer's details changed (Oda)" in words
    assert "order" in words
    assert "hilt" in words
    assert fresh(one).state == State.KEPT
    assert Customer.objects.count() == 2


def test_an_order_that_went_on_is_not_taken_back(owner: User, now: datetime) -> None:
    one = bring_in(ORDERS, "orders", owner, now)
    Build.objects.get().holds.create(
        reason="answer", turn="shop", words="x", chase_on=now.date(), since=now, put_by=owner
    )
    with pytest.raises(undoing.InTheWay):
        undoing.take_back(one.pk, by=owner, now=now + LATER)


def test_stock_that_moved_since_is_not_taken_back(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 5, name="speaker")
    one = bring_in(xlsx([["Part", "How many"], ["speaker", 9]]), "stock", owner, now)
    receive(part, 2, token=uuid4(), by=owner, now=now + LATER)
    with pytest.raises(undoing.InTheWay) as stands:
        undoing.take_back(one.pk, by=owner, now=now + LATER)
    assert "has moved since (received)" in str(stands.value.found[0].sentence)
    assert Part.objects.get().level.on_hand == 11


def test_taken_back_twice_is_taken_back_once(owner: User, now: datetime) -> None:
    one = undone(bring_in(ROWS, "customers", owner, now), owner, now + LATER)
    undoing.take_back(one.pk, by=owner, now=now + LATER)
    assert not undoing.undo(one.pk, now + LATER)
    assert Made.objects.count() == 2
    again = checked(ROWS, "customers", owner, now + LATER)
    assert kept(again, owner, now + LATER).state == State.KEPT
