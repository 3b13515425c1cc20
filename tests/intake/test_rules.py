"""What the database itself refuses of parcels, matches, photos, belongings, cell checks, views."""

from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from builds.models import Arrival, Belonging, CellCheck, ConditionNote, Match, Photo, View
from shop.models import User
from tests.makers import make_arrival, make_blob, make_build

pytestmark = pytest.mark.django_db


def refused(*rows: Any) -> bool:
    """Whether the database refuses rows that no action has looked at."""
    try:
        with transaction.atomic():
            type(rows[0]).objects.bulk_create(rows)
    except IntegrityError:
        return True
    return False


def test_database_refuses_an_arrival_token_twice(owner: User, now: datetime) -> None:
    token = uuid4()
    twice = [Arrival(token=token, came_at=now, received_by=owner, box="sound") for _ in range(2)]
    assert refused(*twice)


def test_database_refuses_the_same_bytes_twice_on_a_build(owner: User, now: datetime) -> None:
    build, blob = make_build(owner, now), make_blob(now)
    facts = {"blob": blob, "build": build, "stage": "intake", "taken_at": now, "taken_by": owner}
    assert refused(Photo(**facts), Photo(**facts))


def test_database_refuses_the_same_bytes_twice_on_an_arrival(owner: User, now: datetime) -> None:
    arrival, blob = make_arrival(owner, now), make_blob(now)
    facts = {"blob": blob, "arrival": arrival, "stage": "intake", "taken_at": now}
    assert refused(Photo(**facts, taken_by=owner), Photo(**facts, taken_by=owner))


@pytest.mark.parametrize("of", ["both", "neither"])
def test_database_refuses_a_photo_of_two_things_or_none(
    of: str, owner: User, now: datetime
) -> None:
    facts: dict[str, Any] = {"stage": "intake", "taken_at": now, "taken_by": owner}
    if of == "both":
        facts |= {"arrival": make_arrival(owner, now), "build": make_build(owner, now)}
    assert refused(Photo(blob=make_blob(now), **facts))


def test_database_refuses_one_match_twice(owner: User, now: datetime) -> None:
    facts = {"arrival": make_arrival(owner, now), "build": make_build(owner, now), "at": now}
    assert refused(Match(**facts, by=owner), Match(**facts, by=owner))


def test_an_ended_match_may_be_made_again(owner: User, now: datetime) -> None:
    facts = {"arrival": make_arrival(owner, now), "build": make_build(owner, now), "at": now}
    assert not refused(Match(**facts, by=owner, ended_at=now), Match(**facts, by=owner))


def test_database_refuses_none_of_a_belonging(owner: User, now: datetime) -> None:
    assert refused(Belonging(arrival=make_arrival(owner, now), what="stand", quantity=0))


def test_database_refuses_a_cell_check_of_nothing(owner: User, now: datetime) -> None:
    assert refused(CellCheck(result="good", by=owner, at=now))


def test_database_refuses_a_result_nobody_knows(owner: User, now: datetime) -> None:
    assert refused(CellCheck(build=make_build(owner, now), result="fine", by=owner, at=now))


def test_database_refuses_two_views_of_one_code(db: None) -> None:
    assert refused(*[View(code="box-shut", label="box shut", stage="intake") for _ in range(2)])


@pytest.mark.parametrize("mark", [(0.5, None), (None, 0.5), (-0.1, 0.5), (0.5, 1.1)])
def test_database_refuses_a_mark_beside_its_photo(
    mark: tuple[float | None, float | None], owner: User, now: datetime
) -> None:
    facts = {"section": "grip", "grade": "worn", "words": "thin", "by": owner, "at": now}
    across, down = mark
    build = make_build(owner, now)
    assert refused(ConditionNote(build=build, mark_x=across, mark_y=down, **facts))


def test_database_refuses_a_photo_of_a_build_that_shows_another_alone(
    owner: User, now: datetime
) -> None:
    facts: dict[str, Any] = {"stage": "intake", "taken_at": now, "taken_by": owner}
    build = make_build(owner, now)
    assert refused(Photo(blob=make_blob(now), build=build, only=build, **facts))


def test_database_refuses_a_box_in_no_known_state(owner: User, now: datetime) -> None:
    assert refused(Arrival(token=uuid4(), came_at=now, received_by=owner, box="fine"))


@pytest.mark.parametrize("stage", ["limbo", "sent"])
def test_database_refuses_a_view_that_no_stage_asks_for(stage: str, db: None) -> None:
    assert refused(View(code="k", label="Grip", stage=stage))


def test_database_refuses_a_photo_of_no_known_stage(owner: User, now: datetime) -> None:
    facts = {"stage": "limbo", "taken_at": now, "taken_by": owner}
    assert refused(Photo(blob=make_blob(now), build=make_build(owner, now), **facts))


def test_database_refuses_a_condition_of_no_known_grade(owner: User, now: datetime) -> None:
    facts = {"section": "grip", "grade": "poor", "words": "dull", "by": owner, "at": now}
    assert refused(ConditionNote(build=make_build(owner, now), **facts))


@pytest.mark.parametrize(
    "change",
    [
        {"went": "lost", "went_words": "x"},
        {"went": "back", "went_words": ""},
        {"went": "back", "went_words": "x", "went_at": None},
        {"went": "back", "went_words": "x", "went_by": None},
        {"went_words": "x", "went_at": None, "went_by": None},
    ],
    ids=["no known way", "no words", "at no time", "by nobody", "words alone"],
)
def test_database_refuses_a_parcel_that_went(
    change: dict[str, Any], owner: User, now: datetime
) -> None:
    arrival, facts = make_arrival(owner, now), {"went_at": now, "went_by": owner, **change}
    with pytest.raises(IntegrityError), transaction.atomic():
        Arrival.objects.filter(pk=arrival.pk).update(**facts)
