"""Changes what is known of a hilt: its shape, its measures, how it comes apart."""

from builds.hilts.actions.begun import add_hilt, copy_shape
from builds.hilts.actions.measuring import Reading, measure
from builds.hilts.actions.shape import (
    add_hole,
    add_section,
    change_section,
    end_hole,
    end_section,
    move_section,
    set_joint,
)
from builds.hilts.refusals import Overtaken, Refused

__all__ = [
    "Overtaken", "Reading", "Refused", "add_hilt", "add_hole", "add_section", "change_section",
    "copy_shape", "end_hole", "end_section", "measure", "move_section", "set_joint",
]  # fmt: skip
