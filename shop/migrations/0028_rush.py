"""A rush fee: the shop's rule, and a line of its own kind on a quote."""

from django.db import migrations, models

from shop.append_only import Guard, Unguard

_RULES = {
    "insert": "(SELECT state FROM shop_quote WHERE id = NEW.quote_id) <> 'draft'",
    "update": "(SELECT state FROM shop_quote WHERE id = OLD.quote_id) <> 'draft' "
    "OR (SELECT state FROM shop_quote WHERE id = NEW.quote_id) <> 'draft'",
    "delete": "(SELECT state FROM shop_quote WHERE id = OLD.quote_id) <> 'draft'",
}


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0027_dates'),
    ]

    operations = [
        Unguard("shop_quoteline", _RULES),
        migrations.RemoveConstraint(
            model_name='quoteline',
            name='quote_line_kind_known',
        ),
        migrations.AddField(
            model_name='house',
            name='rush_hundredths',
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.AddField(
            model_name='house',
            name='rush_least_minor',
            field=models.PositiveIntegerField(default=0),
        ),
        migrations.AlterField(
            model_name='quoteline',
            name='kind',
            field=models.CharField(choices=[('kit', 'kit'), ('part', 'part'), ('hours', 'hours'), ('extra', 'extra'), ('postage', 'postage'), ('rush', 'rush fee')], max_length=10),
        ),
        migrations.AddConstraint(
            model_name='quoteline',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['kit', 'part', 'hours', 'extra', 'postage', 'rush'])), name='quote_line_kind_known'),
        ),
        Guard("shop_quoteline", _RULES),
    ]
