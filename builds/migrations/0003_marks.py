"""Points marked on photos, the one hilt that a photo shows, and where an unplaced box stands."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

_FACTS = ["section", "grade", "words", "by_id", "at"]


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0002_append_only'),
        ('shop', '0002_append_only'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        NoLongerAppendOnly("builds_conditionnote", _FACTS),
        migrations.AddField(
            model_name='arrival',
            name='place',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.place'),
        ),
        migrations.AddField(
            model_name='conditionnote',
            name='mark_x',
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name='conditionnote',
            name='mark_y',
            field=models.FloatField(null=True),
        ),
        migrations.AddField(
            model_name='photo',
            name='only',
            field=models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='builds.build'),
        ),
        migrations.AddConstraint(
            model_name='conditionnote',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('mark_x', None), ('mark_y', None)), models.Q(('mark_x__gte', 0), ('mark_x__isnull', False), ('mark_x__lte', 1), ('mark_y__gte', 0), ('mark_y__isnull', False), ('mark_y__lte', 1)), _connector='OR'), name='condition_mark_on_its_photo'),
        ),
        migrations.AddConstraint(
            model_name='photo',
            constraint=models.CheckConstraint(condition=models.Q(('only', None), ('arrival__isnull', False), _connector='OR'), name='photo_only_of_a_parcel'),
        ),
        AppendOnly("builds_conditionnote", [*_FACTS, "mark_x", "mark_y"]),
    ]
