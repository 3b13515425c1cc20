"""The owner's word counts for one stay in a stage; those given until now began theirs themselves."""

from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from shop.append_only import AppendOnly, NoLongerAppendOnly

_FACTS = ["build_id", "stage", "code", "reason", "by_id", "at"]


def _say_since_when(apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    passes = apps.get_model("builds", "Pass").objects.using(schema_editor.connection.alias)
    passes.update(stay_since=models.F("at"))


class Migration(migrations.Migration):

    dependencies = [("builds", "0020_older_choices")]

    operations = [
        NoLongerAppendOnly("builds_pass", _FACTS),
        migrations.RemoveConstraint(model_name="pass", name="pass_once"),
        migrations.AddField("pass", "stay_since", models.DateTimeField(null=True)),
        migrations.RunPython(_say_since_when, migrations.RunPython.noop),
        migrations.AlterField("pass", "stay_since", models.DateTimeField()),
        migrations.AddConstraint(
            model_name="pass",
            constraint=models.UniqueConstraint(
                fields=["build", "stage", "code", "stay_since"], name="pass_once_a_stay"
            ),
        ),
        migrations.AddConstraint(
            model_name="pass",
            constraint=models.CheckConstraint(
                condition=models.Q(at__gte=models.F("stay_since")), name="pass_within_its_stay"
            ),
        ),
        AppendOnly("builds_pass", [*_FACTS, "stay_since"]),
    ]
