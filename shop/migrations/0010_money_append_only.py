"""Makes the database refuse to rewrite payments and numbered papers."""

from django.db import migrations

from shop.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("shop", "0009_money")]
    operations = [
        AppendOnly(
            "shop_payment",
            ["token", "order_id", "item_id", "kind", "amount_minor", "currency", "way",
             "reference", "paid_on", "because", "takes_back_id", "by_id", "at"],
        ),
        AppendOnly(
            "shop_invoice",
            ["token", "paper", "number", "order_id", "credits_id", "payment_id", "currency",
             "figures", "net_minor", "tax_minor", "gross_minor", "seller", "buyer", "reference",
             "because", "issued_on", "due_on", "by_id", "at"],
        ),
    ]
