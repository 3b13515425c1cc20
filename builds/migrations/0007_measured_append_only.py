"""Makes the database refuse to rewrite what was measured, tried, taken out and decided."""

from django.db import migrations

from shop.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("builds", "0006_fitting"), ("shop", "0008_stock_append_only")]
    operations = [
        AppendOnly(
            "builds_measurement",
            ["hilt_id", "section_id", "joint_id", "hole_id", "quantity", "value", "second",
             "tolerance", "as_typed", "basis", "believed_from_id", "token", "by_id", "at"],
        ),
        AppendOnly("builds_takenout", ["token", "build_id", "what", "is_out", "by_id", "at"]),
        AppendOnly(
            "builds_attempt",
            ["token", "build_id", "joint_id", "means", "minutes", "celsius", "came", "words",
             "by_id", "at"],
        ),
        AppendOnly("builds_stepdone", ["token", "build_id", "step_id", "is_off", "by_id", "at"]),
        AppendOnly("builds_depthtried", ["token", "build_id", "depth_mm", "as_typed", "by_id", "at"]),
        AppendOnly(
            "builds_decision", ["token", "build_id", "kit_id", "code", "words", "by_id", "at"]
        ),
    ]
