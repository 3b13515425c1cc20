"""Makes the database refuse one buyer's sounds on another's card, and a check that is rewritten."""

from django.db import migrations

from shop.append_only import AppendOnly, Guard

_OWNER_OF_THE_SLOT = (
    "(SELECT o.customer_id FROM builds_build b JOIN shop_item i ON i.id = b.item_id "
    "JOIN shop_order o ON o.id = i.order_id WHERE b.id = {slot}.build_id)"
)
_ANOTHERS_SET = (
    "NEW.sound_set_id IS NOT NULL AND NEW.ended_at IS NULL AND EXISTS (SELECT 1 FROM "
    "builds_soundset s WHERE s.id = NEW.sound_set_id AND s.licence = 'one-buyer' "
    f"AND s.customer_id <> {_OWNER_OF_THE_SLOT.format(slot='NEW')})"
)
_ON_ANOTHERS_CARD = (
    "NEW.licence = 'one-buyer' AND EXISTS (SELECT 1 FROM builds_slot t WHERE "
    "t.sound_set_id = NEW.id AND t.ended_at IS NULL "
    f"AND NEW.customer_id <> {_OWNER_OF_THE_SLOT.format(slot='t')})"
)


class Migration(migrations.Migration):
    dependencies = [("builds", "0018_sound_sets")]
    operations = [
        AppendOnly(
            "builds_cardcheck", ["token", "listing_id", "same", "at", "by_id"]
        ),
        Guard("builds_slot", {"insert": _ANOTHERS_SET, "update": _ANOTHERS_SET}),
        Guard("builds_soundset", {"update": _ON_ANOTHERS_CARD}),
    ]
