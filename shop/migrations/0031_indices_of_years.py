from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('shop', '0030_keeping'),
    ]

    operations = [
        migrations.AddIndex(
            model_name='answer',
            index=models.Index(fields=['how', '-at'], name='answer_lately'),
        ),
        migrations.AddIndex(
            model_name='message',
            index=models.Index(condition=models.Q(('answer_to__isnull', False)), fields=['answer_to'], name='message_answers'),
        ),
    ]
