"""Makes gestures for tests: a board with a plan, a build with that board, a line of its own."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from builds.fitting.actions.parts import fit_part, plan_part
from builds.handover.actions import gestures, plans
from builds.handover.models import BoardGesture, Gesture
from builds.progress.models import Build
from shop.models import User
from shop.stores.models import Part
from tests.makers import make_part

ON: dict[str, str] = {
    "being": "off", "wanted": "blade on", "do": "one short press", "see": "the blade lights",
    "hear": "it starts", "out": "hold for two seconds",
}  # fmt: skip
WAKE: dict[str, str] = {
    "being": "asleep", "wanted": "wake it", "do": "press once", "see": "", "hear": "a chime",
    "out": "",
}  # fmt: skip
HUNG: dict[str, str] = {
    "being": "hung", "wanted": "turn it off", "do": "take the cell out", "see": "dark", "hear": "",
    "out": "",
}  # fmt: skip


def make_board(by: User, now: datetime, *lines: dict[str, str]) -> Part:
    """A sound board in stores, with its plan."""
    board = make_part(by, now, 3, kind="board")
    for line in lines:
        plans.add_line(board.pk, line, token=uuid4(), by=by, now=now)
    return board


def plan_lines(board: Part) -> list[BoardGesture]:
    """The lines of a board's plan as they were written."""
    return list(BoardGesture.objects.filter(part=board).order_by("pk"))


def fit_board(build: Build, board: Part, by: User, now: datetime) -> None:
    """The board in a build."""
    listed = plan_part(build, board, 1, section=None, token=uuid4(), by=by, now=now)
    fit_part(listed, serial="S-1", token=uuid4(), by=by, now=now)


def add(build: Build, by: User, now: datetime, **said: Any) -> Gesture:
    """A line of a build's own."""
    gestures.add_gesture(build.pk, {**ON, **said}, token=uuid4(), by=by, now=now)
    return build.gestures.order_by("-pk")[0]
