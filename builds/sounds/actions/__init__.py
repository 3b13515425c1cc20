"""Changes slots, sound sets and cards: one function a deed."""

from builds.sounds.actions.slots import (
    FIELDS,
    add_slot,
    cap_brightness,
    change_slot,
    copy_slots,
    end_slot,
    move_up,
    seen_as,
    verify_slot,
)

__all__ = [
    "FIELDS", "add_slot", "cap_brightness", "change_slot", "copy_slots", "end_slot", "move_up",
    "seen_as", "verify_slot",
]  # fmt: skip
