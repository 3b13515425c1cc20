"""Days worked on top of the week, limits and odds for the dates, and who works on builds."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0026_own_hours'),
    ]

    operations = [
        migrations.CreateModel(
            name='ExtraDay',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('day', models.DateField(verbose_name='day')),
                ('opens', models.TimeField(verbose_name='from')),
                ('closes', models.TimeField(verbose_name='to')),
            ],
            options={
                'ordering': ['day'],
            },
        ),
        migrations.AddField(
            model_name='house',
            name='least_odds_percent',
            field=models.PositiveSmallIntegerField(default=80, verbose_name='least odds of a promise, percent'),
        ),
        migrations.AddField(
            model_name='house',
            name='most_opened',
            field=models.PositiveSmallIntegerField(default=6, verbose_name='builds opened at one time'),
        ),
        migrations.AddField(
            model_name='house',
            name='shows_odds',
            field=models.BooleanField(default=False, verbose_name='customers see the odds'),
        ),
        migrations.AddField(
            model_name='user',
            name='at_bench',
            field=models.BooleanField(default=True, verbose_name='works on builds'),
        ),
        migrations.AddConstraint(
            model_name='house',
            constraint=models.CheckConstraint(condition=models.Q(('least_odds_percent__gte', 1), ('least_odds_percent__lte', 99), ('most_opened__gte', 1)), name='house_dates'),
        ),
        migrations.AddField(
            model_name='extraday',
            name='person',
            field=models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='extra_days', to=settings.AUTH_USER_MODEL),
        ),
        migrations.AddConstraint(
            model_name='extraday',
            constraint=models.UniqueConstraint(fields=('person', 'day'), name='extra_day_once'),
        ),
        migrations.AddConstraint(
            model_name='extraday',
            constraint=models.CheckConstraint(condition=models.Q(('opens__lt', models.F('closes'))), name='extra_day_in_order'),
        ),
    ]
