"""Makes the database refuse to rewrite what was promised as a build left, and who announced what."""

from django.db import migrations

from shop.append_only import AppendOnly, Guard

_ANNOUNCED = ("token", "number", "build_id", "announced_at", "words", "how", "noted_by_id")


class Migration(migrations.Migration):
    dependencies = [("builds", "0025_after_care")]
    operations = [
        # Taken back as a whole where the leaving is; never changed.
        Guard(
            "builds_warranty",
            {
                "update": " OR ".join(
                    f"OLD.{column} {{differs}} NEW.{column}"
                    for column in ("build_id", "left_on", "last_day", "words")
                )
            },
        ),
        Guard(
            "builds_return",
            {
                "update": " OR ".join(
                    f"OLD.{column} {{differs}} NEW.{column}" for column in _ANNOUNCED
                )
            },
        ),
        AppendOnly("builds_returnphoto", ["announced_id", "blob_id", "at"]),
    ]
