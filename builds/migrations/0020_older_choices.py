"""What the older columns of choices may hold, said to the database too."""

from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

_FACTS = {
    "builds_move": [
        "build_id", "token", "from_state", "to_state", "at", "by_id", "reason", "undoes_id",
        "caused_in", "was_started_at", "was_started_by_id", "was_since", "was_in_tray_id",
    ],
    "builds_conditionnote": ["section", "grade", "words", "by_id", "at", "mark_x", "mark_y"],
    "builds_pass": ["build_id", "stage", "code", "reason", "by_id", "at"],
}

class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0019_sound_sets_guarded'),
        ('shop', '0021_older_choices'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        *(NoLongerAppendOnly(table, facts) for table, facts in _FACTS.items()),
        migrations.AddConstraint(
            model_name='arrival',
            constraint=models.CheckConstraint(condition=models.Q(('box__in', ['sound', 'dented', 'torn', 'wet'])), name='arrival_box_known'),
        ),
        migrations.AddConstraint(
            model_name='conditionnote',
            constraint=models.CheckConstraint(condition=models.Q(('grade__in', ['sound', 'worn', 'marked', 'damaged'])), name='condition_grade_known'),
        ),
        migrations.AddConstraint(
            model_name='hold',
            constraint=models.CheckConstraint(condition=models.Q(('reason__in', ['parts', 'part_wrong', 'answer', 'item', 'sounds', 'deposit', 'balance', 'shop', 'stuck', 'carrier', 'warranty', 'other'])), name='hold_reason_known'),
        ),
        migrations.AddConstraint(
            model_name='hold',
            constraint=models.CheckConstraint(condition=models.Q(('turn__in', ['shop', 'customer', 'supplier', 'carrier'])), name='hold_turn_known'),
        ),
        migrations.AddConstraint(
            model_name='move',
            constraint=models.CheckConstraint(condition=models.Q(('from_state__in', ['booked', 'intake', 'teardown', 'install', 'test', 'dispatch', 'sent', 'collected', 'returned', 'withdrawn', 'abandoned']), ('to_state__in', ['booked', 'intake', 'teardown', 'install', 'test', 'dispatch', 'sent', 'collected', 'returned', 'withdrawn', 'abandoned'])), name='move_between_known_states'),
        ),
        migrations.AddConstraint(
            model_name='move',
            constraint=models.CheckConstraint(condition=models.Q(('caused_in', ''), ('caused_in__in', ('booked', 'intake', 'teardown', 'install', 'test', 'dispatch')), _connector='OR'), name='move_caused_in_a_stage'),
        ),
        migrations.AddConstraint(
            model_name='pass',
            constraint=models.CheckConstraint(condition=models.Q(('stage__in', ('booked', 'intake', 'teardown', 'install', 'test', 'dispatch'))), name='pass_in_a_stage'),
        ),
        migrations.AddConstraint(
            model_name='photo',
            constraint=models.CheckConstraint(condition=models.Q(('stage__in', ['booked', 'intake', 'teardown', 'install', 'test', 'dispatch', 'sent', 'collected', 'returned', 'withdrawn', 'abandoned'])), name='photo_stage_known'),
        ),
        migrations.AddConstraint(
            model_name='view',
            constraint=models.CheckConstraint(condition=models.Q(('stage__in', ('booked', 'intake', 'teardown', 'install', 'test', 'dispatch'))), name='view_asked_in_a_stage'),
        ),
        *(AppendOnly(table, facts) for table, facts in _FACTS.items()),
    ]
