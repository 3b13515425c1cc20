"""The column of a build's state, so asked that the open builds are found by their own index."""

from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models.lookups import Exact, In
from django.db.models.sql.compiler import SQLCompiler

from builds.progress.states import STAGES

_OPEN = "({})".format(", ".join(f"'{stage.value}'" for stage in STAGES))


class StateField(models.CharField):
    """A state. The index on open builds holds a few of very many rows, and SQLite takes it only
    where the question names the six stages as the index does: in so many words, not as values.
    """

    def deconstruct(self) -> Any:
        name, _path, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs


def _as_open(
    lookup: Any, asked: Any, compiler: SQLCompiler, connection: BaseDatabaseWrapper
) -> Any:
    """What was asked, and that it is one of the stages, as the index says it."""
    sql, params = asked
    column, of_column = lookup.process_lhs(compiler, connection)
    return f"({sql} AND {column} IN {_OPEN})", [*params, *of_column]


@StateField.register_lookup
class OneStage(Exact):
    """The state is this one."""

    def as_sql(self, compiler: SQLCompiler, connection: BaseDatabaseWrapper) -> Any:
        asked = super().as_sql(compiler, connection)
        if isinstance(self.rhs, str) and self.rhs in STAGES:
            return _as_open(self, asked, compiler, connection)
        return asked


@StateField.register_lookup
class SomeStages(In):
    """The state is one of these."""

    def as_sql(self, compiler: SQLCompiler, connection: BaseDatabaseWrapper) -> Any:
        asked = super().as_sql(compiler, connection)
        if self.rhs_is_direct_value() and self.rhs and set(self.rhs) <= set(STAGES):
            return _as_open(self, asked, compiler, connection)
        return asked
