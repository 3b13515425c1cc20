"""Changes what is known of a hilt: its shape, its measures, how it comes apart."""

from builds.hilts.actions.begun import add_hilt, copy_shape
from builds.hilts.actions.measuring import Reading, Thing, measure
from builds.hilts.actions.noting import note_hole, note_joint
from builds.hilts.actions.shape import (
    add_hole,
    add_section,
    change_section,
    end_hole,
    end_section,
    mark_stuck,
    move_section,
    set_joint,
)
from builds.hilts.actions.steps import add_step, change_step, end_step
from builds.hilts.refusals import GoesRound, Overtaken, Refused

__all__ = [
    "GoesRound", "Overtaken", "Reading", "Refused", "Thing", "add_hilt", "add_hole", "add_section",
    "add_step", "change_section", "change_step", "copy_shape", "end_hole", "end_section",
    "end_step", "mark_stuck", "measure", "move_section",
    "note_hole", "note_joint", "set_joint",
]  # fmt: skip
