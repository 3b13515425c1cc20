"""Makes the database refuse to rewrite what was read, what was asked, and what a card held."""

from django.db import migrations

from shop.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("builds", "0015_hand_over")]
    operations = [
        AppendOnly(
            "builds_runline",
            ["run_id", "code", "position", "name", "how", "caution", "read", "unit", "low", "high",
             "high_told", "times", "minutes", "mark", "because", "only_after", "never_pass"],
        ),
        AppendOnly(
            "builds_reading",
            ["token", "line_id", "value", "as_typed", "verdict", "instrument_id", "note",
             "rework_id", "by_id", "at"],
        ),
        AppendOnly(
            "builds_rework",
            ["token", "build_id", "found_in", "caused_in", "cause", "minutes", "by_id", "at"],
        ),
        AppendOnly(
            "builds_cardlisting",
            ["token", "build_id", "total_bytes", "made_at", "made_by_id"],
        ),
    ]
