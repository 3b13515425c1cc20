"""Proves builds: the sheet, its runs and readings, rework, what runs by itself."""

from builds.proving.actions.letting import let_line_by
from builds.proving.actions.readings import Entry, Kept, keep_readings
from builds.proving.actions.rework import put_right
from builds.proving.actions.runs import begin_run
from builds.proving.actions.sheet import (
    add_instrument,
    add_line,
    change_line,
    fill_sheet,
    move_line,
    retire_instrument,
    retire_line,
)
from builds.proving.actions.timers import begin_timer, end_timer, stop_timer, tell_ended

__all__ = [
    "Entry", "Kept", "add_instrument", "add_line", "begin_run", "begin_timer", "change_line",
    "end_timer", "fill_sheet", "keep_readings", "let_line_by", "move_line", "put_right",
    "retire_instrument", "retire_line", "stop_timer", "tell_ended",
]  # fmt: skip
