"""Tables that only grow: a migration operation that makes the database refuse the rest.

A row of such a table is never deleted, and its fact columns never change, unless maintenance is
open (restore, erasure, and the emptying of a test database). The switch is a table of its own,
not a model, so that a flush leaves it alone.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from django.db import connection, migrations, transaction
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import ProjectState

SWITCH = "shop_maintenance"


class MaintenanceSwitch(migrations.RunSQL):
    """Creates the one-row table that says whether maintenance is open."""

    def __init__(self) -> None:
        super().__init__(
            [
                f"CREATE TABLE {SWITCH} (id integer PRIMARY KEY CHECK (id = 1), "
                "is_open boolean NOT NULL)",
                f"INSERT INTO {SWITCH} (id, is_open) VALUES (1, false)",
            ],
            [f"DROP TABLE {SWITCH}"],
        )

    def deconstruct(self) -> tuple[str, Sequence[Any], dict[str, Any]]:
        return (self.__class__.__name__, [], {})


class AppendOnly(migrations.operations.base.Operation):
    """Refuses DELETE on a table, and UPDATE of the columns named as facts.

    :param table: the database table.
    :param facts: the columns that never change once written.
    """

    reversible = True

    def __init__(self, table: str, facts: Sequence[str]) -> None:
        self.table, self.facts = table, list(facts)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """The models do not change."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        make = _postgresql if schema_editor.connection.vendor == "postgresql" else _sqlite
        for statement in make(self.table, self.facts):
            schema_editor.execute(statement, params=None)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        on = f" ON {self.table}" if schema_editor.connection.vendor == "postgresql" else ""
        for what in ("update", "delete", *(["truncate"] if on else [])):
            # SQLite alters a table by making it anew, and its triggers are gone with the old one.
            schema_editor.execute(f"DROP TRIGGER IF EXISTS {self.table}_no_{what}{on}", params=None)

    def describe(self) -> str:
        return f"Make {self.table} append-only"


class NoLongerAppendOnly(AppendOnly):
    """Lifts the refusal, for a table that is altered or gets facts of another name.

    To stand in a migration before the change; an ``AppendOnly`` with the new facts stands after it.

    :param facts: those named until now, for the way back.
    """

    def database_forwards(self, *how: Any) -> None:
        super().database_backwards(*how)

    def database_backwards(self, *how: Any) -> None:
        super().database_forwards(*how)

    def describe(self) -> str:
        return f"Let {self.table} be altered"


class Guard(migrations.operations.base.Operation):
    """Refuses deeds on a table where a condition on the row holds, unless maintenance is open.

    For rows that are free for a while and fixed from a moment on.

    :param rules: "insert", "update" or "delete" → an SQL condition on OLD and NEW; ``{differs}``
        in it stands for the comparison that takes two empty values for alike.
    """

    reversible = True

    def __init__(self, table: str, rules: Mapping[str, str]) -> None:
        self.table, self.rules = table, dict(rules)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """The models do not change."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        make = (
            _guard_postgresql if schema_editor.connection.vendor == "postgresql" else _guard_sqlite
        )
        for deed, condition in self.rules.items():
            for statement in make(self.table, deed, condition):
                schema_editor.execute(statement, params=None)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        is_postgresql = schema_editor.connection.vendor == "postgresql"
        on = f" ON {self.table}" if is_postgresql else ""
        for deed in self.rules:
            name = f"{self.table}_guard_{deed}"
            schema_editor.execute(f"DROP TRIGGER IF EXISTS {name}{on}", params=None)
            if is_postgresql:
                schema_editor.execute(f"DROP FUNCTION IF EXISTS {name}()", params=None)

    def describe(self) -> str:
        return f"Guard the rows of {self.table}"


class Unguard(Guard):
    """Lifts a guard, for a table that is altered; the ``Guard`` anew stands after the change.

    :param rules: those of the guard until now, for the way back.
    """

    def database_forwards(self, *how: Any) -> None:
        super().database_backwards(*how)

    def database_backwards(self, *how: Any) -> None:
        super().database_forwards(*how)

    def describe(self) -> str:
        return f"Let {self.table} be altered"


def _guard_sqlite(table: str, deed: str, condition: str) -> list[str]:
    return [
        f"CREATE TRIGGER {table}_guard_{deed} BEFORE {deed.upper()} ON {table} "
        f"WHEN NOT EXISTS (SELECT 1 FROM {SWITCH} WHERE is_open) "
        f"AND ({condition.format(differs='IS NOT')}) "
        f"BEGIN SELECT RAISE(ABORT, '{table} is fixed'); END"
    ]


def _guard_postgresql(table: str, deed: str, condition: str) -> list[str]:
    name, goes_on = f"{table}_guard_{deed}", "OLD" if deed == "delete" else "NEW"
    return [
        f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ "
        f"BEGIN IF NOT EXISTS (SELECT 1 FROM {SWITCH} WHERE is_open) "
        f"AND ({condition.format(differs='IS DISTINCT FROM')}) THEN "
        f"RAISE EXCEPTION '{table} is fixed' "
        "USING ERRCODE = 'integrity_constraint_violation'; END IF; "
        f"RETURN {goes_on}; END $$",
        f"CREATE TRIGGER {name} BEFORE {deed.upper()} ON {table} "
        f"FOR EACH ROW EXECUTE FUNCTION {name}()",
    ]


def _changed(facts: Sequence[str], differs: str) -> str:
    return " OR ".join(f"OLD.{column} {differs} NEW.{column}" for column in facts)


def _sqlite(table: str, facts: Sequence[str]) -> list[str]:
    shut = f"NOT EXISTS (SELECT 1 FROM {SWITCH} WHERE is_open)"
    refuse = f"SELECT RAISE(ABORT, '{table} is append-only')"
    return [
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} "
        f"WHEN {shut} BEGIN {refuse}; END",
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} "
        f"WHEN {shut} AND ({_changed(facts, 'IS NOT')}) BEGIN {refuse}; END",
    ]


def _postgresql(table: str, facts: Sequence[str]) -> list[str]:
    return [
        "CREATE OR REPLACE FUNCTION shop_append_only() RETURNS trigger LANGUAGE plpgsql AS $$ "
        f"BEGIN IF EXISTS (SELECT 1 FROM {SWITCH} WHERE is_open) THEN "
        "IF TG_OP = 'DELETE' THEN RETURN OLD; ELSE RETURN NEW; END IF; END IF; "
        "RAISE EXCEPTION '% is append-only', TG_TABLE_NAME "
        "USING ERRCODE = 'integrity_constraint_violation'; END $$",
        f"CREATE TRIGGER {table}_no_delete BEFORE DELETE ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION shop_append_only()",
        f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} "
        "FOR EACH STATEMENT EXECUTE FUNCTION shop_append_only()",
        f"CREATE TRIGGER {table}_no_update BEFORE UPDATE ON {table} FOR EACH ROW "
        f"WHEN ({_changed(facts, 'IS DISTINCT FROM')}) EXECUTE FUNCTION shop_append_only()",
    ]


@contextmanager
def maintenance() -> Iterator[None]:
    """Open the append-only tables for the length of one transaction."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(f"UPDATE {SWITCH} SET is_open = true")
        yield
        cursor.execute(f"UPDATE {SWITCH} SET is_open = false")
