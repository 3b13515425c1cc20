"""A blade that comes back: announced once, its own blade tied again, its warranty as decided."""

from datetime import date, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from builds.handover.actions.returns import Verdict, decide, end_return, make_build, open_again
from builds.handover.actions.warranty import promise_warranty
from builds.handover.models import Return, Warranty
from builds.handover.queries.before import before
from builds.handover.refusals import Refused
from builds.models import Blade, Build
from builds.progress.actions import tie_blade
from builds.progress.states import Kind, State
from shop.models import House, User
from tests.handover.making import announced, covered, left
from tests.makers import make_build as make

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def blade_build(owner: User, now: datetime) -> Build:
    """A blade made alone, that left under warranty."""
    build = make(owner, now, State.BOOKED, kind=Kind.BLADE)
    blade = Blade.objects.create(customer=build.item.order.customer, name="Reed", since=now)
    build = tie_blade(build.pk, blade, seen=None, by=owner, now=now)
    promise_warranty(left(build, now), by=owner, now=now)
    return build


@pytest.fixture
def found(blade_build: Build, now: datetime) -> Return:
    return announced(blade_build, now)


def ends(build: Build) -> date | None:
    found = Warranty.objects.filter(build=build).first()
    return found.last_day if found else None


def gone_again(found: Return, by: User, later: datetime) -> Build:
    build = left(make_build(found.pk, by=by, now=later), later)
    promise_warranty(build, by=by, now=later)
    return build


def test_it_is_announced_once(found: Return, now: datetime) -> None:
    with pytest.raises(Refused, match="announced already, under the number R0001"):
        announced(found.build, now)


def test_one_on_the_books_is_not_announced(found: Return, owner: User, now: datetime) -> None:
    made = make_build(found.pk, by=owner, now=now)
    with pytest.raises(Refused, match=f"build {made} is not finished"):
        announced(found.build, now)


def test_one_without_a_blade_of_its_own_is_announced_once_too(owner: User, now: datetime) -> None:
    build = left(make(owner, now, State.BOOKED, kind=Kind.BLADE), now)
    made = make_build(announced(build, now).pk, by=owner, now=now)
    assert made.blade is None
    with pytest.raises(Refused, match="is not finished"):
        announced(build, now)


def test_it_is_not_taken_up_beside_another(found: Return, owner: User, now: datetime) -> None:
    end_return(found.pk, "it lights again", by=owner, now=now)
    announced(found.build, now)
    with pytest.raises(Refused, match="announced already"):
        open_again(found.pk, by=owner, now=now)


def test_other_tablet_reads_why(owner_client: Client, found: Return) -> None:
    page = f"/build/{found.build.number}/return/"
    token = "0e8a3c52-6c0e-4a1f-9d57-1f7f4b1f3f10"
    said = {"token": token, "words": "dead", "cell": "fine", "how": "mail"}
    answer = owner_client.post(page, said)
    assert answer.status_code == 422
    assert "announced already" in answer.content.decode()


def test_its_blade_is_tied_to_the_new_build(found: Return, owner: User, now: datetime) -> None:
    made = make_build(found.pk, by=owner, now=now)
    assert made.blade == found.build.blade
    assert Return.objects.get().became == made


def test_blade_that_is_gone_is_not_tied(found: Return, owner: User, now: datetime) -> None:
    Blade.objects.update(ended_at=now, ended_because="sold on")
    assert make_build(found.pk, by=owner, now=now).blade is None


def test_sheet_tells_what_was_done_before(
    owner_client: Client, found: Return, owner: User, now: datetime
) -> None:
    made = make_build(found.pk, by=owner, now=now)
    assert [each.build for each in before(made).past] == [found.build]
    assert "What was done before" in owner_client.get(f"/build/{made.number}/").content.decode()


def test_sheet_stands_with_several_before(
    owner_client: Client, found: Return, owner: User, now: datetime
) -> None:
    again = announced(gone_again(found, owner, now), now)
    made = make_build(again.pk, by=owner, now=now)
    assert len(before(made).past) == 2
    assert owner_client.get(f"/build/{made.number}/").status_code == 200


def test_covered_one_leaves_the_warranty_as_it_runs(
    found: Return, owner: User, now: datetime
) -> None:
    covered(found, owner, now)
    assert ends(gone_again(found, owner, now + timedelta(days=30))) == TODAY + timedelta(days=180)


def test_kindness_after_the_warranty_promises_none(
    found: Return, owner: User, now: datetime
) -> None:
    decide(found.pk, Verdict("goodwill", "it was close", "shop"), seen="", by=owner, now=now)
    assert ends(gone_again(found, owner, now + timedelta(days=300))) is None


def test_paid_repair_has_the_days_of_a_repair(
    found: Return, owner: User, now: datetime, house: House
) -> None:
    decide(found.pk, Verdict("not-covered", "dropped", "customer"), seen="", by=owner, now=now)
    later = now + timedelta(days=300)
    assert ends(gone_again(found, owner, later)) == later.date() + timedelta(days=house.repair_days)


def test_pages_of_a_blade_ask_for_nothing_of_a_hilt(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make(owner, now, State.BOOKED, kind=Kind.BLADE)
    Build.objects.filter(pk=build.pk).update(state=State.INTAKE)
    sheet = bench_client.get(reverse("bench_sheet", args=[build.number])).content.decode()
    unsaid = ('id="arrival"', 'id="belongings"', "before any heat", "#belongings")
    assert not [words for words in unsaid if words in sheet]
    told = bench_client.get(reverse("handover_build", args=[build.number])).content.decode()
    assert "how to wake it" not in told
    assert "A blade alone is asked for none." in told
