"""What changes parcels. Gates are asked in builds.gates."""

from builds.dispatch.actions.packing import tick_line, untick_line
from builds.dispatch.actions.parcels import (
    add_tracking,
    close_parcel,
    lock_parcel,
    mark_left,
    mark_not_left,
    note_tracking,
    open_parcel,
)
from builds.dispatch.refusals import Refused

__all__ = [
    "Refused", "add_tracking", "close_parcel", "lock_parcel", "mark_left", "mark_not_left",
    "note_tracking", "open_parcel", "tick_line", "untick_line",
]  # fmt: skip
