"""Makes the database refuse to rewrite how a parcel left, and what was ticked and written for it."""

from django.db import migrations

from shop.append_only import AppendOnly, Guard

_AS_IT_LEFT = [
    "token", "day", "closed_at", "closed_by_id", "box_id", "length_mm", "width_mm", "height_mm",
    "gross_g", "service_id", "declared_minor", "insured_by", "is_unused", "customs_words",
    "customs_minor", "origin", "tariff_code", "sent_to", "classed", "left_at", "left_by_id",
]


def _left(row: str) -> str:
    return f"(SELECT left_at FROM builds_parcel WHERE id = {row}.parcel_id) IS NOT NULL"


def _compared(column: str) -> str:
    # PostgreSQL does not compare json; its text says the same.
    if column == "classed":
        return "CAST(OLD.classed AS text) {differs} CAST(NEW.classed AS text)"
    return f"OLD.{column} {{differs}} NEW.{column}"


_CHANGED = " OR ".join(_compared(column) for column in _AS_IT_LEFT)


class Migration(migrations.Migration):
    dependencies = [("builds", "0013_parcels_to_pack")]
    operations = [
        AppendOnly("builds_packtick", ["token", "parcel_id", "build_id", "code", "at", "by_id"]),
        AppendOnly(
            "builds_carrierrule",
            ["token", "service_id", "code", "words", "source", "written_on", "valid_until",
             "by_id", "at"],
        ),
        # "It left" can be undone for a minute: then the parcel is free again.
        Guard(
            "builds_parcel",
            {
                "update": "OLD.left_at IS NOT NULL AND NEW.left_at IS NOT NULL "
                f"AND ({_CHANGED})",
                "delete": "OLD.left_at IS NOT NULL",
            },
        ),
        Guard(
            "builds_stowed",
            {"insert": _left("NEW"), "update": _left("OLD"), "delete": _left("OLD")},
        ),
        Guard(
            "builds_packedgoods",
            {"insert": _left("NEW"), "update": _left("OLD"), "delete": _left("OLD")},
        ),
    ]
