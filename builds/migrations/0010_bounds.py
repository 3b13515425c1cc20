"""Bounds of what is tried, measured and cut, held by the database."""

from django.conf import settings
from django.db import migrations, models

from shop.append_only import AppendOnly, NoLongerAppendOnly

# SQLite alters a table by making it anew, so its triggers are made anew as well.
MEASURED = (
    "builds_measurement",
    [
        "hilt_id",
        "section_id",
        "joint_id",
        "hole_id",
        "quantity",
        "value",
        "second",
        "tolerance",
        "as_typed",
        "basis",
        "believed_from_id",
        "token",
        "by_id",
        "at",
    ],
)
TRIED = (
    "builds_attempt",
    [
        "token",
        "build_id",
        "joint_id",
        "means",
        "minutes",
        "celsius",
        "came",
        "words",
        "by_id",
        "at",
    ],
)


class Migration(migrations.Migration):
    dependencies = [
        ("builds", "0009_hold_for_a_quote"),
        ("shop", "0017_bench_limits"),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        NoLongerAppendOnly(*MEASURED),
        NoLongerAppendOnly(*TRIED),
        migrations.AddConstraint(
            model_name="attempt",
            constraint=models.CheckConstraint(
                condition=models.Q(("minutes__gte", 1), ("minutes__lte", 600)),
                name="attempt_takes_minutes",
            ),
        ),
        migrations.AddConstraint(
            model_name="measurement",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("value__gte", 0),
                    ("value__lte", 2000),
                    models.Q(
                        ("second", None),
                        models.Q(("second__gt", 0), ("second__lte", 2000)),
                        _connector="OR",
                    ),
                    models.Q(
                        ("tolerance", None),
                        models.Q(("tolerance__gte", 0), ("tolerance__lte", 2000)),
                        _connector="OR",
                    ),
                ),
                name="measurement_of_a_hilt",
            ),
        ),
        migrations.AddConstraint(
            model_name="wirerun",
            constraint=models.CheckConstraint(
                condition=models.Q(("length_mm__gte", 1)), name="wire_of_some_length"
            ),
        ),
        AppendOnly(*MEASURED),
        AppendOnly(*TRIED),
    ]
