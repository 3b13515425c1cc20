"""Sheets that are brought in; what one made is never rewritten."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly


class Migration(migrations.Migration):

    dependencies = [
        ('builds', '0016_proof_append_only'),
        ('shop', '0020_hand_over'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Import',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('token', models.UUIDField(unique=True)),
                ('kind', models.CharField(choices=[('customers', 'customers'), ('orders', 'open orders'), ('parts', 'parts'), ('stock', 'stock')], max_length=10)),
                ('state', models.CharField(choices=[('matching', 'columns to be matched'), ('checking', 'being checked'), ('checked', 'checked'), ('keeping', 'being brought in'), ('kept', 'brought in'), ('undoing', 'being taken back'), ('undone', 'taken back'), ('dropped', 'given up')], default='matching', max_length=10)),
                ('sha256', models.CharField(db_index=True, max_length=64)),
                ('file_name', models.CharField(max_length=120)),
                ('sheets', models.JSONField(default=list)),
                ('encoding', models.CharField(blank=True, max_length=10)),
                ('delimiter', models.CharField(blank=True, max_length=1)),
                ('sheet', models.CharField(blank=True, max_length=60)),
                ('header_row', models.PositiveIntegerField(default=1)),
                ('decimals', models.CharField(choices=[('point', '1,234.50'), ('comma', '1.234,50')], default='point', max_length=5)),
                ('day_order', models.CharField(choices=[('dmy', '14/12/2026: day first'), ('mdy', '12/14/2026: month first')], default='dmy', max_length=3)),
                ('length_unit', models.CharField(choices=[('mm', 'millimetres'), ('in', 'inches')], default='mm', max_length=2)),
                ('doubles', models.CharField(choices=[('stop', 'show me each one first'), ('ours', 'use the one we have, leave the row out')], default='stop', max_length=4)),
                ('headers', models.JSONField(default=list)),
                ('header_key', models.CharField(blank=True, db_index=True, max_length=64)),
                ('mapping', models.JSONField(default=dict)),
                ('is_guessed', models.BooleanField(default=True)),
                ('claimed_at', models.DateTimeField(null=True)),
                ('tries', models.PositiveSmallIntegerField(default=0)),
                ('rows', models.PositiveIntegerField(default=0)),
                ('rows_done', models.PositiveIntegerField(default=0)),
                ('problem', models.CharField(blank=True, max_length=300)),
                ('stops', models.PositiveIntegerField(default=0)),
                ('new', models.PositiveIntegerField(default=0)),
                ('found', models.PositiveIntegerField(default=0)),
                ('changed', models.PositiveIntegerField(default=0)),
                ('again', models.BooleanField(default=False)),
                ('made_at', models.DateTimeField()),
                ('state_since', models.DateTimeField()),
                ('kept_at', models.DateTimeField(null=True)),
                ('undone_at', models.DateTimeField(null=True)),
                ('blob', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='shop.blob')),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('kept_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('undone_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-made_at', '-id'],
            },
        ),
        migrations.CreateModel(
            name='Finding',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('stops', models.BooleanField(default=True)),
                ('row', models.PositiveIntegerField()),
                ('column', models.PositiveSmallIntegerField(null=True)),
                ('field', models.CharField(blank=True, max_length=40)),
                ('value', models.CharField(blank=True, max_length=120)),
                ('sentence', models.CharField(max_length=400)),
                ('of', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='findings', to='builds.import')),
            ],
            options={
                'ordering': ['row', 'column', 'id'],
            },
        ),
        migrations.CreateModel(
            name='Made',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('row', models.PositiveIntegerField()),
                ('how', models.CharField(choices=[('new', 'new'), ('found', 'found again'), ('changed', 'changed')], max_length=8)),
                ('about', models.CharField(max_length=60)),
                ('before', models.JSONField(default=dict)),
                ('of', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='made', to='builds.import')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.AddIndex(
            model_name='import',
            index=models.Index(condition=models.Q(('state__in', ['checking', 'keeping', 'undoing'])), fields=['id'], name='import_at_work'),
        ),
        migrations.AddConstraint(
            model_name='import',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['customers', 'orders', 'parts', 'stock'])), name='import_kind_known'),
        ),
        migrations.AddConstraint(
            model_name='import',
            constraint=models.CheckConstraint(condition=models.Q(('state__in', ['matching', 'checking', 'checked', 'keeping', 'kept', 'undoing', 'undone', 'dropped'])), name='import_state_known'),
        ),
        migrations.AddConstraint(
            model_name='import',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('state__in', ['kept', 'undoing', 'undone']), _negated=True), models.Q(('kept_at__isnull', False), ('kept_by__isnull', False)), _connector='OR'), name='import_kept_by_somebody'),
        ),
        migrations.AddConstraint(
            model_name='import',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('state', 'keeping'), _negated=True), ('stops', 0), _connector='OR'), name='import_kept_only_when_clean'),
        ),
        migrations.AddIndex(
            model_name='finding',
            index=models.Index(fields=['of', '-stops', 'row'], name='finding_in_turn'),
        ),
        migrations.AddConstraint(
            model_name='made',
            constraint=models.CheckConstraint(condition=models.Q(('how__in', ['new', 'found', 'changed'])), name='made_how_known'),
        ),
        migrations.AddConstraint(
            model_name='made',
            constraint=models.UniqueConstraint(fields=('of', 'about'), name='made_once_an_import'),
        ),
        AppendOnly('builds_made', ['of_id', 'row', 'how', 'about', 'before']),
    ]
