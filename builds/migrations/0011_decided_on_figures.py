"""On which figures a decision was taken, and room for what it was found at."""

from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

_FACTS = ["token", "build_id", "kit_id", "code", "words", "by_id", "at"]


class Migration(migrations.Migration):

    dependencies = [
        ('builds', "0010_bounds"),
    ]

    operations = [
        NoLongerAppendOnly("builds_decision", _FACTS),
        migrations.AddField(
            model_name='decision',
            name='figures',
            field=models.JSONField(default=dict),
        ),
        migrations.AlterField(
            model_name='decision',
            name='code',
            field=models.CharField(max_length=200),
        ),
        AppendOnly("builds_decision", [*_FACTS, "figures"]),
    ]
