"""What changes parcels. Gates are asked in builds.gates."""

from builds.dispatch.actions.packing import tick_line, untick_line
from builds.dispatch.actions.parcels import (
    add_tracking,
    close_parcel,
    lock_open,
    lock_parcel,
    mark_left,
    mark_not_left,
    note_tracking,
    open_parcel,
)
from builds.dispatch.actions.setting_aside import take_along
from builds.dispatch.refusals import Overtaken, Refused

__all__ = [
    "Overtaken", "Refused", "add_tracking", "close_parcel", "lock_open", "lock_parcel", "mark_left",
    "mark_not_left", "note_tracking", "open_parcel", "take_along", "tick_line", "untick_line",
]  # fmt: skip
