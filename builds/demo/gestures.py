"""The gestures of the demo: plans kept with its boards, what builds took over, what was tried."""

from datetime import datetime, timedelta

from builds.demo.days import token
from builds.handover.actions import gestures, plans
from builds.handover.queries.gestures import boards_in
from builds.progress.models import Build
from builds.progress.states import Kind
from builds.sounds.actions import seen_as, verify_slot
from builds.sounds.queries import slots_of
from shop.people.models import User
from shop.stores.models import Part

Line = tuple[str, str, str, str, str, str]  # when, to get, do, see, hear, out
_MINUTE = timedelta(minutes=1)
_FIELDS = ("being", "wanted", "do", "see", "hear", "out")
ONE_SWITCH: tuple[Line, ...] = (
    ("asleep", "wake it", "one short press", "the switch glows", "a rising tone", ""),
    ("off", "blade on", "one short press", "the blade lights from the hilt up", "it starts",
     "hold for two seconds"),
    ("off", "next slot", "hold for two seconds", "the switch blinks once", "the slot’s name",
     "one short press keeps it"),
    ("on", "blade off", "hold for two seconds", "the blade goes dark from the tip", "it ends", ""),
    ("on", "a clash", "tap the blade, or one short press", "a white flash", "a clash", ""),
    ("charging", "see how full it is", "plug it in, blade out", "red, then green when full", "",
     "unplug it"),
    ("low", "know that it is low", "nothing", "the switch blinks red", "three falling tones",
     "charge it"),
    ("hung", "turn it off", "unscrew the pommel and take the battery out", "all dark", "",
     "wait ten seconds, then put it back, + to the front"),
)  # fmt: skip
TWO_SWITCHES: tuple[Line, ...] = (
    ONE_SWITCH[0],
    ("off", "blade on", "one short press of the upper switch", "the blade lights from the hilt up",
     "it starts", "one short press of the upper switch"),
    ("off", "next slot", "one short press of the lower switch", "the switch blinks once",
     "the slot’s name", "press both: the slot before"),
    ("on", "blade off", "one short press of the upper switch", "the blade goes dark from the tip",
     "it ends", ""),
    ("on", "lock two blades", "hold the lower switch while they touch", "a flickering spot",
     "a steady crackle", "let go"),
    ("on", "menu of colours", "hold the lower switch for two seconds", "the blade dims",
     "two tones", "one short press of the upper switch"),
    ("menu", "next colour", "one short press of the lower switch", "the colour changes", "a click",
     "one short press of the upper switch keeps it"),
    *ONE_SWITCH[5:],
)  # fmt: skip
PLANS = {
    "Sound board 18 × 3": TWO_SWITCHES,
    "Sound board 22.5 × 3.2": TWO_SWITCHES,
    "Sound board 22.5 × 1.6": TWO_SWITCHES,
    "Sound board, one switch, 2 A out": ONE_SWITCH,
}


def plan(by: User, now: datetime) -> None:
    """Write the plans down that are kept with the boards."""
    for name, lines in PLANS.items():
        board = Part.objects.get(name=name)
        for line in lines:
            mark = token("gesture", name, line[0], line[1])
            plans.add_line(board.pk, _said(line), token=mark, by=by, now=now)


def described(build: Build, by: User, now: datetime) -> None:
    """A build takes over what the plan of its board says; one with the customer's own is told."""
    taken = gestures.take_over(build.pk, by=by, now=now)
    if taken or boards_in(build) or build.kind not in {Kind.FULL, Kind.UPGRADE}:
        return
    for line in ONE_SWITCH:
        mark = token("own gesture", build.number, line[0], line[1])
        gestures.add_gesture(build.pk, _said(line), token=mark, by=by, now=now)


def tried(build: Build, by: User, now: datetime, most: int = 99) -> None:
    """The slots and gestures of a build tried on its hilt, as far as the hands have come."""
    for slot in slots_of([build.pk])[build.pk][:most]:
        verify_slot(slot.pk, seen=seen_as(slot), by=by, now=now)
    for line in build.gestures.filter(ended_at=None)[:most]:
        now += _MINUTE
        gestures.try_gesture(line.pk, seen=gestures.seen_as(line), by=by, now=now)


def _said(line: Line) -> dict[str, str]:
    return dict(zip(_FIELDS, line, strict=True))
