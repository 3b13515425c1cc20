"""What the page of taking apart shows of one build."""

from collections.abc import Sequence
from dataclasses import dataclass

from builds.hilts.models import Joint
from builds.hilts.queries import Group, StepRow, TakeApart, take_aparts
from builds.progress.models import Build
from builds.progress.states import State
from builds.teardown.models import Attempt, Inside, StepDone, TakenOut
from builds.teardown.queries.facts import (
    Apart,
    apart,
    drill_lacks,
    heat_lacks,
    tool_lacks,
)
from shop.orders.models import AnswerKind


@dataclass(frozen=True)
class OutRow:
    """The cell or the electronics, and whether they are out."""

    what: Inside
    row: TakenOut | None
    is_out: bool
    is_none: bool  # by the look at the cell: there is nothing to take out


@dataclass(frozen=True)
class StepTick:
    """A step of this build: done or not, and what still comes before it, either way."""

    row: StepRow
    done: StepDone | None
    waits: Sequence[str]  # what comes off first
    keeps: Sequence[str]  # what goes back on first
    lacks: Sequence[str]  # what heat lacks, of a step that wants it

    @property
    def is_off(self) -> bool:
        """Whether the step is done."""
        return self.done is not None and self.done.is_off

    @property
    def is_ready(self) -> bool:
        """Whether it may come off now."""
        return not self.is_off and not self.waits and not self.lacks

    @property
    def is_blocked(self) -> bool:
        """Whether it may go neither way now."""
        return bool(self.keeps) if self.is_off else not self.is_ready


@dataclass(frozen=True)
class JointTries:
    """What was tried on a joint so far, and whether the limit is passed."""

    joint: Joint
    attempts: Sequence[Attempt]
    most_minutes: int

    @property
    def minutes(self) -> int:
        """Minutes of tries."""
        return sum(each.minutes for each in self.attempts)

    @property
    def is_enough(self) -> bool:
        """Whether the plan should be looked at anew."""
        return self.joint.stuck and self.minutes >= self.most_minutes


@dataclass(frozen=True)
class ApartPage:
    """How far one build is apart."""

    known: Apart
    outs: Sequence[OutRow]
    groups: Sequence[tuple[Group, Sequence[StepTick]]]
    joints: Sequence[Joint]
    tries: Sequence[JointTries]
    tool: Sequence[str]
    heat: Sequence[str]
    drill: Sequence[str]

    @property
    def enough(self) -> int:
        """The limit at which the plan is looked at anew, in minutes."""
        return self.known.house.most_try_minutes

    @property
    def next_out(self) -> str:
        """What is to come out next; empty when both are out."""
        return next((out.what.value for out in self.outs if not out.is_out), "")

    @property
    def is_all_off(self) -> bool:
        """Whether every step is done."""
        ticks = [tick for _group, rows in self.groups for tick in rows]
        return bool(ticks) and all(tick.is_off for tick in ticks)

    @property
    def agreed_heat(self) -> bool:
        """Whether the customer said yes to heat."""
        return self.known.agreed(AnswerKind.HEAT)

    @property
    def agreed_drilling(self) -> bool:
        """Whether the customer said yes to drilling."""
        return self.known.agreed(AnswerKind.DRILLING)

    @property
    def has_stuck(self) -> bool:
        """Whether a joint of the hilt is stuck."""
        return any(joint.stuck for joint in self.joints)

    @property
    def steps_open(self) -> bool:
        """Whether steps can be ticked in the stage of the build."""
        return self.known.build.state in {State.TEARDOWN, State.INSTALL, State.TEST}

    @property
    def outs_open(self) -> bool:
        """Whether cell and electronics can be ticked in the stage of the build."""
        return self.known.build.state in {State.INTAKE, State.TEARDOWN}

    @property
    def cell_is_fitted(self) -> bool:
        """Whether a cell went in with the parts, after teardown."""
        row = self.known.out.get(Inside.CELL)
        return row is not None and not self.known.is_out(Inside.CELL) and not self.outs_open

    @property
    def tries_open(self) -> bool:
        """Whether joints can be tried in the stage of the build."""
        return self.known.build.state == State.TEARDOWN


def apart_page(build: Build) -> ApartPage:
    """Everything on the page of one build, in a constant number of queries."""
    known = apart(build)
    hilt_id = build.hilt_id or 0
    steps: TakeApart = take_aparts([hilt_id])[hilt_id]
    joints = list(
        Joint.objects.filter(
            section__hilt=hilt_id, section__ended_at=None, ended_at=None
        ).select_related("section")
    )
    return ApartPage(
        known=known,
        outs=[_out(what, known) for what in Inside],
        groups=[(group, _ticks(group, steps, known)) for group in steps.groups],
        joints=joints,
        tries=[tries for joint in joints if (tries := _tries(joint, known)).attempts],
        tool=tool_lacks(known),
        heat=heat_lacks(known),
        drill=drill_lacks(known),
    )


def _out(what: Inside, known: Apart) -> OutRow:
    is_none = what == Inside.CELL and known.has_no_cell
    return OutRow(what, known.out.get(what), known.is_out(what), is_none)


def _ticks(group: Group, steps: TakeApart, known: Apart) -> list[StepTick]:
    return [
        StepTick(
            row=row,
            done=known.off.get(row.step.pk),
            waits=[first.words for first in row.firsts if not known.is_off(first.pk)],
            keeps=[
                other.step.words
                for other in steps.rows
                if row.step.pk in other.first_ids and known.is_off(other.step.pk)
            ],
            lacks=heat_lacks(known) if row.step.wants_heat else [],
        )
        for row in group.rows
    ]


def _tries(joint: Joint, known: Apart) -> JointTries:
    own = [each for each in known.attempts if each.joint_id == joint.pk]
    return JointTries(joint, own, known.house.most_try_minutes)
