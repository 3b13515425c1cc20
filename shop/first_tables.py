"""Many tables at once: a migration operation for the first of a database."""

from collections.abc import Sequence
from typing import Any

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import ProjectState


class CreateTables(migrations.operations.base.Operation):
    """Creates the tables of many models, the state of the project drawn up once, not each time.

    Django draws up anew, at each model that joins, all that are related to it: a hundred of them
    take it seven seconds, on every first start and in every run of the tests.

    :param models: one ``CreateModel`` a table, each after those that it points to.
    """

    reversible = True

    def __init__(self, models: Sequence[migrations.CreateModel]) -> None:
        self.models = list(models)

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """All models join; what was drawn up before is let go, and drawn up when next wanted."""
        state.__dict__.pop("apps", None)
        for model in self.models:
            model.state_forwards(app_label, state)

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        for model in self.models:
            model.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        for model in reversed(self.models):
            model.database_backwards(app_label, schema_editor, from_state, to_state)

    def deconstruct(self) -> tuple[str, Sequence[Any], dict[str, Any]]:
        return (self.__class__.__name__, [self.models], {})

    def describe(self) -> str:
        return f"Create {len(self.models)} tables"
