"""Makes the database refuse to rewrite the stock ledger, deliveries and what sources stated."""

from django.db import migrations

from shop.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("shop", "0007_stores")]
    operations = [
        AppendOnly(
            "shop_stockrow",
            ["token", "part_id", "deed", "on_hand_change", "reserved_change", "about", "whose",
             "reason", "reservation_id", "delivery_line_id", "cost_minor", "by_id", "at"],
        ),
        AppendOnly(
            "shop_rating", ["part_id", "quantity", "value", "source", "is_typical", "by_id", "at"]
        ),
        AppendOnly("shop_delivery", ["token", "purchase_id", "came_at", "by_id", "note"]),
        AppendOnly("shop_deliveryline", ["delivery_id", "line_id", "quantity"]),
    ]
