"""What changes parcels. Gates are asked in builds.gates."""

from builds.dispatch.actions.carrier_rules import keep_rule, withdraw_rule
from builds.dispatch.actions.classing import mend, say_used
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
from builds.dispatch.actions.stowing import stow
from builds.dispatch.refusals import Overtaken, Refused

__all__ = [
    "Overtaken", "Refused", "add_tracking", "close_parcel", "keep_rule", "lock_open",
    "lock_parcel", "mark_left", "mark_not_left", "mend", "note_tracking", "open_parcel",
    "say_used", "stow", "take_along", "tick_line", "untick_line", "withdraw_rule",
]  # fmt: skip
