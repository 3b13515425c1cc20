"""What the older columns of choices may hold, said to the database too."""

from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

_ANSWER = ["item_id", "kind", "is_yes", "text", "how", "by_customer", "recorded_by_id", "at"]

class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0020_hand_over'),
    ]

    operations = [
        NoLongerAppendOnly("shop_answer", _ANSWER),
        migrations.AddConstraint(
            model_name='answer',
            constraint=models.CheckConstraint(condition=models.Q(('kind__in', ['agreed', 'reconfirmed', 'heat', 'drilling', 'finish'])), name='answer_of_a_kind'),
        ),
        migrations.AddConstraint(
            model_name='answer',
            constraint=models.CheckConstraint(condition=models.Q(('how__in', ['page', 'mail', 'telephone', 'chat', 'person'])), name='answer_came_somehow'),
        ),
        AppendOnly("shop_answer", _ANSWER),
        migrations.AddConstraint(
            model_name='enquiry',
            constraint=models.CheckConstraint(condition=models.Q(('how', ''), ('how__in', ['page', 'mail', 'telephone', 'chat', 'person']), _connector='OR'), name='enquiry_came_somehow'),
        ),
        migrations.AddConstraint(
            model_name='message',
            constraint=models.CheckConstraint(condition=models.Q(('occasion__in', ['posting', 'arrived', 'stage', 'hold', 'quote', 'change', 'consent', 'came', 'ships_on', 'sent', 'late', 'ship_by', 'chase', 'digest', 'test', 'password', 'paper', 'free'])), name='message_occasion_known'),
        ),
        migrations.AddConstraint(
            model_name='wording',
            constraint=models.CheckConstraint(condition=models.Q(('occasion__in', ['posting', 'arrived', 'stage', 'hold', 'quote', 'change', 'consent', 'came', 'ships_on', 'sent', 'late', 'ship_by', 'chase', 'digest', 'test', 'password', 'paper', 'free'])), name='wording_occasion_known'),
        ),
    ]
