"""Asked for open builds, the database is told in the words of the index on them."""

import pytest
from django.db import connection

from builds.models import Build, Stretch
from builds.progress.states import ENDINGS, STAGES, State

INDEX = "('booked', 'intake', 'teardown', 'install', 'test', 'dispatch')"


@pytest.mark.parametrize("asked", [{"state": State.TEST}, {"state__in": STAGES}])
def test_stages_are_asked_for_as_the_index_says_it(asked: dict[str, object]) -> None:
    assert f'"builds_build"."state" IN {INDEX}' in str(Build.objects.filter(**asked).query)
    through = {f"build__{name}": value for name, value in asked.items()}
    assert f'"builds_build"."state" IN {INDEX}' in str(Stretch.objects.filter(**through).query)


@pytest.mark.parametrize("asked", [{"state": State.SENT}, {"state__in": ENDINGS}])
def test_endings_are_asked_for_as_ever(asked: dict[str, object]) -> None:
    assert INDEX not in str(Build.objects.filter(**asked).query)


@pytest.mark.django_db
def test_open_builds_are_found_by_their_index_on_sqlite() -> None:
    if connection.vendor != "sqlite":
        return  # PostgreSQL sees it by itself, and in a small table looks at every row
    sql, values = Build.objects.filter(state__in=STAGES).query.sql_with_params()
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN QUERY PLAN {sql}", values)
        assert any("build_open" in row[3] for row in cursor.fetchall())
