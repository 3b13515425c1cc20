"""Makes the database refuse to rewrite quotes that were sent, and what was asked of a customer."""

from django.db import migrations

from shop.append_only import AppendOnly, Guard

_OFFERED = [
    "order_id", "revision", "token", "kind", "because", "minutes_so_far", "currency", "prices",
    "rounding", "discount_hundredths", "discount_minor", "low_minor", "high_minor", "tax_minor",
    "ceiling_minor", "deposit_minor", "valid_until", "text", "made_at", "made_by_id", "sent_at",
]
_ANSWERED = ["state", "answered_at", "answered_how", "answer_words", "recorded_by_id"]


def _changed(columns: list[str]) -> str:
    return " OR ".join(f"OLD.{column} {{differs}} NEW.{column}" for column in columns)


def _settled(row: str) -> str:
    return f"(SELECT state FROM shop_quote WHERE id = {row}.quote_id) <> 'draft'"


class Migration(migrations.Migration):
    dependencies = [("shop", "0012_quotes")]
    operations = [
        Guard(
            "shop_quote",
            {
                "update": f"(OLD.state <> 'draft' AND ({_changed(_OFFERED)})) "
                f"OR (OLD.state NOT IN ('draft', 'sent') AND ({_changed(_ANSWERED)})) "
                "OR (OLD.state = 'sent' AND NEW.state = 'draft')",
                "delete": "OLD.state <> 'draft'",
            },
        ),
        Guard(
            "shop_quoteline",
            {
                "insert": _settled("NEW"),
                "update": f"{_settled('OLD')} OR {_settled('NEW')}",
                "delete": _settled("OLD"),
            },
        ),
        AppendOnly("shop_asking", ["token", "item_id", "kind", "words", "at", "by_id"]),
    ]
