"""What becomes of promises, alarms about them, and what helps; a forecast keeps no build from being removed."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0031_dates'),
        ('shop', '0027_dates'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Alarm',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('fell_at', models.DateTimeField()),
                ('over_at', models.DateTimeField(null=True)),
            ],
        ),
        migrations.CreateModel(
            name='Outcome',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('due', models.DateField()),
                ('left_on', models.DateField()),
                ('is_first', models.BooleanField()),
                ('is_last', models.BooleanField()),
                ('moved_days', models.IntegerField(default=0)),
            ],
        ),
        migrations.AddField(
            model_name='outlook',
            name='behind',
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.AddField(
            model_name='outlook',
            name='remedy',
            field=models.CharField(blank=True, choices=[('chase', 'ask after the parts'), ('ask', 'ask the customer'), ('first', 'take it first'), ('extra_day', 'work a day more'), ('new_day', 'tell a new day')], max_length=10),
        ),
        migrations.AddField(
            model_name='outlook',
            name='remedy_odds',
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name='outlook',
            name='remedy_with',
            field=models.JSONField(default=dict),
        ),
        migrations.AlterField(
            model_name='lineplace',
            name='build',
            field=models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, related_name='line_place', to='builds.build'),
        ),
        migrations.AlterField(
            model_name='outlook',
            name='build',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='outlooks', to='builds.build'),
        ),
        migrations.AddIndex(
            model_name='hold',
            index=models.Index(condition=models.Q(('ended_at__isnull', False)), fields=['-ended_at'], name='hold_over'),
        ),
        migrations.AddField(
            model_name='alarm',
            name='promise',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='alarms', to='builds.promise'),
        ),
        migrations.AddField(
            model_name='outcome',
            name='promise',
            field=models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='outcome', to='builds.promise'),
        ),
        migrations.AddConstraint(
            model_name='alarm',
            constraint=models.UniqueConstraint(condition=models.Q(('over_at', None)), fields=('promise',), name='alarm_one_a_promise'),
        ),
        migrations.AddIndex(
            model_name='outcome',
            index=models.Index(fields=['left_on'], name='outcome_by_day'),
        ),
        migrations.AddConstraint(
            model_name='outcome',
            constraint=models.CheckConstraint(condition=models.Q(('is_first', False), ('moved_days', 0), _connector='OR'), name='outcome_first_moved_nothing'),
        ),
        AppendOnly(
            "builds_outcome",
            ["promise_id", "due", "left_on", "is_first", "is_last", "moved_days"],
        ),
    ]
