"""Tables that only grow: what the database refuses, column by column, and when it is opened."""

from datetime import datetime, timedelta
from typing import Any, cast
from uuid import uuid4

import pytest
from django.db import DatabaseError, connection, models, transaction

from builds.models import CellCheck, ConditionNote, Move, Pass, Promise
from builds.progress.states import State
from shop.append_only import maintenance
from shop.history.models import Entry
from shop.models import Answer, Item, User
from shop.stores.models import Rating, StockRow
from tests.makers import answer, check_cell, make_build, make_part, make_tray

pytestmark = pytest.mark.django_db
DELETE = "DELETE FROM {} WHERE id = %s"
TABLES = [Entry, Answer, Move, Promise, CellCheck, ConditionNote, Pass, Rating, StockRow]
# A row's links may follow a wrong match to the right build; what was seen may not change.
MAY_CHANGE = {
    (CellCheck, "arrival_id"), (CellCheck, "build_id"), (ConditionNote, "build_id"),
    (ConditionNote, "came_by_id"), (ConditionNote, "photo_id"),
}  # fmt: skip
MAY_END = {(Rating, "withdrawn_at")}  # a wrong one is used no more


@pytest.fixture(params=TABLES, ids=lambda model: model.__name__)
def row(request: pytest.FixtureRequest, owner: User, now: datetime) -> models.Model:
    """A row of each append-only table."""
    build = make_build(owner, now, State.BOOKED)
    build.moves.create(
        token=uuid4(), from_state=State.BOOKED, to_state=State.INTAKE, at=now, by=owner,
        was_since=now,
    )  # fmt: skip
    answer(build, "agreed", owner, now)
    check_cell(build, owner, now)
    build.promises.create(day=now.date(), at=now, by=owner)
    build.condition_notes.create(
        section="grip", grade="worn", words="dull", mark_x=0.1, mark_y=0.2, by=owner, at=now
    )
    passing = {"stage": State.INTAKE, "code": "views", "reason": "told so", "stay_since": now}
    build.passes.create(**passing, by=owner, at=now)
    make_part(owner, now, 2)
    found = request.param.objects.last()
    assert found is not None
    return cast("models.Model", found)


def _another(field: models.Field, value: Any, owner: User, now: datetime) -> Any:
    if isinstance(field, models.DateTimeField):
        return now + timedelta(days=1)
    if isinstance(field, models.DateField):
        return (now + timedelta(days=1)).date()
    if isinstance(field, models.UUIDField):
        return uuid4()
    if isinstance(field, models.BooleanField):
        return not value
    if isinstance(field, models.JSONField):
        return {"else": 1}
    if isinstance(field, models.FloatField):
        return 0.5
    if isinstance(field, models.IntegerField):
        return (value or 0) + 1
    return "else"


def _link(field: models.ForeignKey, row: models.Model, owner: User, now: datetime) -> Any:
    related = field.related_model
    if related is User:
        return User.objects.create(email=f"{uuid4()}@larkhill.example", name="Pell")
    if related is Move:
        return row
    if related.__name__ == "Tray":
        return make_tray()
    if related._meta.app_label == "shop" and related is not Item:
        return row.pk + 1000  # the trigger refuses before anybody looks whether it is there
    build = make_build(owner, now)
    return build if related.__name__ == "Build" else build.item


def _facts(row: models.Model) -> list[models.Field]:
    return [
        field
        for field in row._meta.concrete_fields
        if not field.primary_key and (type(row), field.attname) not in MAY_CHANGE | MAY_END
    ]


def test_no_fact_of_a_row_can_be_changed(row: models.Model, owner: User, now: datetime) -> None:
    rows = type(row).objects.filter(pk=row.pk)
    for field in _facts(row):
        value = (
            _link(field, row, owner, now)
            if isinstance(field, models.ForeignKey)
            else _another(field, getattr(row, field.attname), owner, now)
        )
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            rows.update(**{field.name: value})


def test_no_row_can_be_deleted(row: models.Model) -> None:
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(DELETE.format(row._meta.db_table), [row.pk])


def test_no_table_can_be_emptied(row: models.Model) -> None:
    how = "DELETE FROM {}"
    if connection.vendor == "postgresql":
        connection.check_constraints()  # a table with checks still to run is not truncated anyway
        how = "TRUNCATE {} CASCADE"
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(how.format(row._meta.db_table))


def test_no_row_can_be_replaced(owner: User, now: datetime, db: None) -> None:
    entry = Entry.objects.create(verb="booked", about="build:1", actor=owner, at=now)
    insert, on_conflict = "INSERT OR REPLACE", ""
    if connection.vendor == "postgresql":
        insert, on_conflict = "INSERT", "ON CONFLICT (id) DO UPDATE SET verb = 'moved'"
    with (
        pytest.raises(DatabaseError, match="append-only"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(
            f"{insert} INTO shop_entry (id, at, verb, about, parameters) "
            f"VALUES (%s, %s, 'moved', 'build:1', '{{}}') {on_conflict}",
            [entry.pk, now.isoformat()],
        )


def test_maintenance_lets_a_row_go(row: models.Model) -> None:
    with maintenance(), connection.cursor() as cursor:
        cursor.execute(DELETE.format(row._meta.db_table), [row.pk])
    assert not type(row).objects.filter(pk=row.pk).exists()


def test_maintenance_that_fails_is_shut_again(row: models.Model) -> None:
    with pytest.raises(RuntimeError), maintenance():
        raise RuntimeError
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        type(row)._base_manager.filter(pk=row.pk).delete()


@pytest.mark.parametrize(("model", "name"), sorted(MAY_CHANGE, key=str))
def test_links_that_follow_a_wrong_match_may_change(
    model: Any, name: str, owner: User, now: datetime
) -> None:
    build, right = make_build(owner, now), make_build(owner, now)
    check_cell(build, owner, now)
    build.condition_notes.create(
        section="grip", grade="worn", words="dull", mark_x=0.1, mark_y=0.2, by=owner, at=now
    )
    value = right if name == "build_id" else None
    assert model.objects.update(**{name.removesuffix("_id"): value}) == 1
