"""Parcels that are no build's: what became of them, said once, and taken back."""

from datetime import datetime

import pytest

from builds.intake import actions as intake
from builds.intake.actions import Refused
from builds.intake.models import Arrival
from builds.intake.queries import unmatched
from builds.progress.models import Place
from shop.history.queries import entries_about
from shop.models import User
from tests.makers import at_once, make_arrival, make_build

pytestmark = pytest.mark.django_db


def said(arrival: Arrival) -> list[str]:
    """What history says of it, the newest first."""
    return [line.text for line in entries_about(arrival.about)]


def test_parcel_that_went_back_waits_no_more(owner: User, now: datetime) -> None:
    arrival = make_arrival(owner, now)
    intake.let_go(arrival.pk, "back", " not ours, FP 77 ", owner, now)
    assert list(unmatched()) == []
    assert said(arrival)[0] == "No build's parcel, sent back to the sender: not ours, FP 77"


@pytest.mark.parametrize(("went", "stands"), [("disposed", False), ("kept", True)])
def test_only_what_is_kept_still_stands_somewhere(
    went: str, stands: bool, owner: User, now: datetime
) -> None:
    arrival, shelf = make_arrival(owner, now), Place.objects.create(name="Shelf R")
    intake.put_box(arrival, shelf, owner, now)
    assert bool(intake.let_go(arrival.pk, went, "nobody asked", owner, now).place) is stands


def test_said_twice_is_said_once(owner: User, now: datetime) -> None:
    arrival = make_arrival(owner, now)
    for _tap in range(2):
        intake.let_go(arrival.pk, "back", "not ours", owner, now)
    assert len(said(arrival)) == 2  # it came, and went


def test_other_tablet_is_told_who_said_it_first(
    owner: User, bench_hand: User, now: datetime
) -> None:
    arrival = make_arrival(owner, now)
    intake.let_go(arrival.pk, "back", "not ours", owner, now)
    with pytest.raises(Refused, match="Oda said of this parcel: sent back to the sender"):
        intake.let_go(arrival.pk, "kept", "screws", bench_hand, now)


@pytest.mark.parametrize(("went", "words"), [("", "x"), ("lost", "x"), ("back", "  ")])
def test_it_is_said_what_became_of_it_and_why(
    went: str, words: str, owner: User, now: datetime
) -> None:
    arrival = make_arrival(owner, now)
    with pytest.raises(Refused, match="Say what became of it"):
        intake.let_go(arrival.pk, went, words, owner, now)


def test_parcel_of_a_build_is_not_let_go(owner: User, now: datetime) -> None:
    arrival = make_arrival(owner, now)
    intake.match(arrival, make_build(owner, now), owner, now)
    with pytest.raises(Refused, match="matched to a build"):
        intake.let_go(arrival.pk, "back", "not ours", owner, now)


def test_parcel_that_went_is_matched_only_once_that_is_taken_back(
    owner: User, now: datetime
) -> None:
    arrival, build = make_arrival(owner, now), make_build(owner, now)
    intake.let_go(arrival.pk, "kept", "a stand", owner, now)
    with pytest.raises(Refused, match="Take that back first"):
        intake.match(arrival, build, owner, now)
    for _tap in range(2):
        intake.take_up(arrival.pk, owner, now)
    assert intake.match(arrival, build, owner, now).build == build
    assert said(arrival)[0] == "Nobody has placed it yet, after all"


@pytest.mark.django_db(transaction=True)
def test_let_go_and_matched_at_once_is_one_of_them(owner: User, now: datetime) -> None:
    arrival, build = make_arrival(owner, now), make_build(owner, now)
    told = at_once(
        lambda: intake.let_go(arrival.pk, "back", "not ours", owner, now),
        lambda: intake.match(arrival, build, owner, now),
    )
    arrival.refresh_from_db()
    is_matched = arrival.matches.filter(ended_at=None).exists()
    assert bool(arrival.went) is not is_matched
    assert sum(isinstance(one, Refused) for one in told) == 1
