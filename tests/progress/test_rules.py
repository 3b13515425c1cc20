"""What the database itself refuses of builds, moves, holds, trays; tried past every action."""

from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from builds.models import Build, Hold, Move, Place, Tray
from builds.progress.states import Kind, State
from shop.models import User
from tests.makers import make_build, make_item, make_tray

pytestmark = pytest.mark.django_db
RULES: list[tuple[str, str, dict[str, Any]]] = [
    ("a state nobody knows", State.INTAKE, {"state": "limbo"}),
    ("a kind of job nobody knows", State.INTAKE, {"kind": "magic"}),
    ("a way of leaving nobody knows", State.INTAKE, {"leaves_by": "drone"}),
    ("an ending that keeps its tray", State.TEST, {"state": State.SENT}),
    ("past intake without a tray", State.TEARDOWN, {"tray": None}),
    ("past intake without a tray, at once", State.INTAKE, {"state": State.INSTALL}),
    ("no hilt on a full install", State.INTAKE, {"hilt": None}),
    ("started by nobody", State.INTAKE, {"started_at": datetime(2026, 1, 1).astimezone()}),
    ("no state at all", State.INTAKE, {"state": None}),
]


@pytest.mark.parametrize(
    ("state", "change"), [rule[1:] for rule in RULES], ids=[rule[0] for rule in RULES]
)
def test_database_refuses_a_build_with(
    state: str, change: dict[str, Any], owner: User, now: datetime
) -> None:
    build = make_build(owner, now, state)
    with pytest.raises(IntegrityError), transaction.atomic():
        Build.objects.filter(pk=build.pk).update(**change)


def test_database_refuses_someone_who_started_without_a_time(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.INTAKE)
    with pytest.raises(IntegrityError), transaction.atomic():
        Build.objects.filter(pk=build.pk).update(started_by=owner)


def test_database_refuses_a_tray_on_a_blade_only_job(owner: User, now: datetime) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    with pytest.raises(IntegrityError), transaction.atomic():
        Build.objects.filter(pk=build.pk).update(tray=make_tray())


def test_blade_only_job_goes_past_intake_without_tray_or_place(owner: User, now: datetime) -> None:
    build = make_build(owner, now, kind=Kind.BLADE)
    assert Build.objects.filter(pk=build.pk).update(state=State.TEST) == 1


def test_a_place_alone_will_do_past_intake(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEARDOWN)
    place = Place.objects.create(name="Shelf K")
    assert Build.objects.filter(pk=build.pk).update(tray=None, place=place) == 1


def test_database_refuses_two_open_builds_in_one_tray(owner: User, now: datetime) -> None:
    one, other = make_build(owner, now, State.TEST), make_build(owner, now, State.BOOKED)
    with pytest.raises(IntegrityError), transaction.atomic():
        Build.objects.filter(pk=other.pk).update(tray=one.tray)


def test_a_tray_is_free_again_after_an_ending(owner: User, now: datetime) -> None:
    one, other = make_build(owner, now, State.TEST), make_build(owner, now, State.BOOKED)
    tray = one.tray
    Build.objects.filter(pk=one.pk).update(state=State.ABANDONED, tray=None)
    assert Build.objects.filter(pk=other.pk).update(tray=tray) == 1


def test_database_refuses_two_builds_of_one_item(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    again = Build(number=9999, item=build.item, hilt=build.hilt, state_since=now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Build.objects.bulk_create([again])


def test_database_refuses_two_builds_of_one_number(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    item = make_item(owner, now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Build.objects.bulk_create(
            [Build(number=build.number, item=item, hilt=build.hilt, state_since=now)]
        )


@pytest.mark.parametrize("model", [Tray, Place])
def test_database_refuses_two_of_one_name(model: Any, db: None) -> None:
    fact = {"number": 900} if model is Tray else {"name": "Shelf Q"}
    with pytest.raises(IntegrityError), transaction.atomic():
        model.objects.bulk_create([model(**fact), model(**fact)])


def _move(build: Build, by: User, now: datetime, **changed: Any) -> Move:
    facts = {
        "build": build, "token": uuid4(), "from_state": State.BOOKED, "to_state": State.INTAKE,
        "at": now, "by": by, "was_since": now,
    }  # fmt: skip
    return Move(**{**facts, **changed})


def test_database_refuses_a_token_twice(owner: User, now: datetime) -> None:
    build, token = make_build(owner, now), uuid4()
    twice = [_move(build, owner, now, token=token), _move(build, owner, now, token=token)]
    with pytest.raises(IntegrityError), transaction.atomic():
        Move.objects.bulk_create(twice)


def test_database_refuses_a_move_to_where_it_is(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Move.objects.bulk_create([_move(build, owner, now, to_state=State.BOOKED)])


def test_database_refuses_a_move_from_an_ending_that_undoes_nothing(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Move.objects.bulk_create([_move(build, owner, now, from_state=State.SENT)])


@pytest.mark.parametrize(
    "change", [{"from_state": "limbo"}, {"to_state": "limbo"}, {"caused_in": State.SENT}]
)
def test_database_refuses_a_move_of_no_known_stage(
    change: dict[str, Any], owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    with pytest.raises(IntegrityError), transaction.atomic():
        Move.objects.bulk_create([_move(build, owner, now, **change)])


def test_database_refuses_to_undo_one_move_twice(owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    first = _move(build, owner, now)
    first.save()
    back = {"from_state": State.INTAKE, "to_state": State.BOOKED, "undoes": first}
    with pytest.raises(IntegrityError), transaction.atomic():
        Move.objects.bulk_create([_move(build, owner, now, **back) for _ in range(2)])


@pytest.mark.parametrize(
    "change",
    [
        {"before": "limbo"},
        {"before": State.SENT},
        {"ended_at": datetime(2020, 1, 1).astimezone()},
        {"reason": "weather"},
        {"turn": "nobody"},
    ],
    ids=[
        "before no stage",
        "before an ending",
        "ended before it began",
        "for no known reason",
        "in nobody's turn",
    ],
)
def test_database_refuses_a_hold(change: dict[str, Any], owner: User, now: datetime) -> None:
    build = make_build(owner, now)
    facts = {"reason": "parts", "turn": "supplier", "words": "speaker", "chase_on": now.date()}
    with pytest.raises(IntegrityError), transaction.atomic():
        Hold.objects.bulk_create(
            [Hold(build=build, since=now + timedelta(0), put_by=owner, **{**facts, **change})]
        )
