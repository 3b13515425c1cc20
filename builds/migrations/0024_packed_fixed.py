"""Makes the database refuse to rewrite which builds left in a parcel, and what was ticked of it."""

from django.db import migrations

from shop.append_only import Guard


def _left(row: str) -> str:
    return f"(SELECT left_at FROM builds_parcel WHERE id = {row}.parcel_id) IS NOT NULL"


class Migration(migrations.Migration):
    dependencies = [("builds", "0023_proof_let_by")]
    operations = [
        Guard("builds_packed", {"update": _left("OLD"), "delete": _left("OLD")}),
        Guard("builds_packtick", {"insert": _left("NEW"), "update": _left("OLD")}),
    ]
