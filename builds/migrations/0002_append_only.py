"""Makes the database refuse to rewrite what was said and done."""

from django.db import migrations

from shop.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("builds", "0001_first"), ("shop", "0002_append_only")]
    operations = [
        AppendOnly(
            "builds_move",
            ["build_id", "token", "from_state", "to_state", "at", "by_id", "reason", "undoes_id",
             "caused_in", "was_started_at", "was_started_by_id", "was_since", "was_in_tray_id"],
        ),
        AppendOnly("builds_promise", ["build_id", "day", "reason", "at", "by_id"]),
        AppendOnly("builds_cellcheck", ["result", "millivolts", "note", "by_id", "at"]),
        AppendOnly("builds_conditionnote", ["section", "grade", "words", "by_id", "at"]),
        AppendOnly("builds_pass", ["build_id", "stage", "code", "reason", "by_id", "at"]),
    ]
