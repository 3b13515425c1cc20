"""Reads what is known of hilts: their shape, their measures, how they come apart."""

from builds.hilts.queries.page import HiltPage, SectionRow, hilt_page, like_hilts
from builds.hilts.queries.shape import (
    WEIGHT,
    HoleShape,
    Known,
    SectionShape,
    Shape,
    in_force,
    joint_mark,
    section_mark,
    shapes,
)
from builds.hilts.queries.steps import Group, StepRow, TakeApart, step_mark, take_aparts

__all__ = [
    "WEIGHT", "Group", "HiltPage", "HoleShape", "Known", "SectionRow", "SectionShape", "Shape",
    "StepRow", "TakeApart", "hilt_page", "in_force", "joint_mark", "like_hilts", "section_mark",
    "shapes", "step_mark", "take_aparts",
]  # fmt: skip
