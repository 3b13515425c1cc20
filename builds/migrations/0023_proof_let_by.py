"""A test that the owner lets by, and the reading that a rework answers."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

_REWORK = ["token", "build_id", "found_in", "caused_in", "cause", "minutes", "by_id", "at"]


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0022_arrival_went'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        NoLongerAppendOnly("builds_rework", _REWORK),
        migrations.AddField(
            model_name='rework',
            name='failed',
            field=models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='put_right', to='builds.reading'),
        ),
        AppendOnly("builds_rework", [*_REWORK, "failed_id"]),
        migrations.CreateModel(
            name='LineLetBy',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reason', models.CharField(max_length=200, verbose_name='why')),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('line', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='let_by', to='builds.runline')),
            ],
            options={
                'constraints': [models.CheckConstraint(condition=models.Q(('reason', ''), _negated=True), name='line_let_by_says_why')],
            },
        ),
        AppendOnly("builds_lineletby", ["line_id", "reason", "by_id", "at"]),
    ]
