"""Makes the database refuse to rewrite what was said and done."""

from django.db import migrations

from shop.append_only import AppendOnly, MaintenanceSwitch


class Migration(migrations.Migration):
    dependencies = [("shop", "0001_first")]
    operations = [
        MaintenanceSwitch(),
        AppendOnly("shop_entry", ["at", "actor_id", "verb", "about", "parameters"]),
        AppendOnly(
            "shop_answer",
            ["item_id", "kind", "is_yes", "text", "how", "by_customer", "recorded_by_id", "at"],
        ),
    ]
