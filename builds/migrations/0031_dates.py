"""The line, the runs of the forecast, limits of stages, and the odds with which days were promised."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

_FACTS = ["build_id", "day", "reason", "at", "by_id"]


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0030_time_worked'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='LinePlace',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('place', models.PositiveIntegerField()),
            ],
            options={
                'ordering': ['place', 'build'],
            },
        ),
        migrations.CreateModel(
            name='Outlook',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('place', models.PositiveIntegerField()),
                ('day_50', models.DateField(null=True)),
                ('day_80', models.DateField(null=True)),
                ('day_95', models.DateField(null=True)),
                ('moments', models.JSONField(default=list)),
                ('odds', models.FloatField(null=True)),
                ('due', models.DateField(null=True)),
                ('waits_h', models.JSONField(default=dict)),
                ('drives', models.CharField(blank=True, max_length=40)),
            ],
        ),
        migrations.CreateModel(
            name='Reckoning',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('made_at', models.DateTimeField()),
                ('mark', models.CharField(max_length=64)),
                ('runs', models.PositiveIntegerField()),
                ('took_ms', models.PositiveIntegerField()),
            ],
            options={
                'get_latest_by': ['made_at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='StageLimit',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('stage', models.CharField(choices=[('booked', 'booked'), ('intake', 'intake'), ('teardown', 'teardown'), ('install', 'install'), ('test', 'test'), ('dispatch', 'dispatch'), ('sent', 'sent'), ('collected', 'collected'), ('returned', 'returned unfinished'), ('withdrawn', 'withdrawn'), ('abandoned', 'abandoned')], max_length=10, unique=True, verbose_name='stage')),
                ('most', models.PositiveSmallIntegerField(verbose_name='at most')),
            ],
        ),
        NoLongerAppendOnly("builds_promise", _FACTS),
        migrations.AddField(
            model_name='promise',
            name='odds',
            field=models.FloatField(null=True),
        ),
        migrations.AddConstraint(
            model_name='promise',
            constraint=models.CheckConstraint(condition=models.Q(('odds', None), models.Q(('odds__gte', 0), ('odds__lte', 1)), _connector='OR'), name='promise_odds_a_share'),
        ),
        AppendOnly("builds_promise", [*_FACTS, "odds"]),
        migrations.AddField(
            model_name='lineplace',
            name='build',
            field=models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='line_place', to='builds.build'),
        ),
        migrations.AddField(
            model_name='outlook',
            name='build',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='outlooks', to='builds.build'),
        ),
        migrations.AddField(
            model_name='outlook',
            name='reckoning',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='outlooks', to='builds.reckoning'),
        ),
        migrations.AddConstraint(
            model_name='stagelimit',
            constraint=models.CheckConstraint(condition=models.Q(('stage__in', ('intake', 'teardown', 'install', 'test', 'dispatch'))), name='stage_limit_of_a_stage'),
        ),
        migrations.AddConstraint(
            model_name='stagelimit',
            constraint=models.CheckConstraint(condition=models.Q(('most__gte', 1)), name='stage_limit_of_some'),
        ),
        migrations.AddConstraint(
            model_name='outlook',
            constraint=models.UniqueConstraint(fields=('reckoning', 'build'), name='outlook_one_a_build'),
        ),
        migrations.AddConstraint(
            model_name='outlook',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('due', None), ('odds', None)), models.Q(('due__isnull', False), ('odds__gte', 0), ('odds__lte', 1)), _connector='OR'), name='outlook_odds_of_a_day'),
        ),
    ]
