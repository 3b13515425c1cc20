"""Takes builds apart: cell and electronics out, tries on stuck joints, steps, the blade's depth.

The rules of heat and drilling stand here and have no way round: no role and no reason passes them.
"""

import math
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.hilts.actions import mark_stuck
from builds.hilts.models import Joint, Step
from builds.hilts.queries import StepRow, take_aparts
from builds.progress.actions import locked
from builds.progress.models import Build
from builds.progress.states import State
from builds.teardown.models import Attempt, Came, DepthTried, Inside, Means, StepDone, TakenOut
from builds.teardown.queries import Apart, apart, heat_lacks, lacks_of, tool_lacks, wet_lacks
from builds.teardown.refusals import Refused
from shop.history.actions import record
from shop.people.models import User

MOST_MINUTES = 600
HOTTEST_C = 400  # nothing that frees a joint is hotter; a slip of the finger is
DEEPEST_MM = 300.0


@dataclass(frozen=True)
class Try:
    """One attempt on a stuck joint, as somebody writes it down."""

    means: str
    minutes: int
    came: str
    celsius: int | None = None
    words: str = ""
    is_dry: bool = False  # a solvent used before has dried off


@transaction.atomic
def take_out(
    build_id: int, what: str, is_out: bool, *, token: UUID, by: User, now: datetime
) -> TakenOut:
    """Tick the cell or the electronics out, or back in.

    :raises Refused: the build is not on the way to being taken apart, or a tool would be used
        before anybody looked at the cell.
    """
    build = locked(build_id)
    if done := TakenOut.objects.filter(token=token).first():
        return done
    _ask_stage(build, State.INTAKE, State.TEARDOWN)
    if what == Inside.ELECTRONICS and is_out:
        _ask(tool_lacks(apart(build)))
    row = TakenOut.objects.create(token=token, build=build, what=what, is_out=is_out, by=by, at=now)
    record("taken_out" if is_out else "put_in", build.about, by, now, inside=what)
    return row


def fitted_in(build: Build, what: Inside, *, token: UUID, by: User, now: datetime) -> TakenOut:
    """Say that a cell or a board was fitted: what stood as out is out no longer.

    Called under the lock of the build; the deed that fits has its own line in the history.
    """
    return TakenOut.objects.create(token=token, build=build, what=what, is_out=False, by=by, at=now)


@transaction.atomic
def try_joint(
    build_id: int, joint_id: int, tried: Try, *, token: UUID, by: User, now: datetime
) -> Attempt:
    """Write down an attempt on a stuck joint.

    :raises Refused: what the attempt needs is missing: see ``queries.lacks_of``.
    """
    build = locked(build_id)
    if done := Attempt.objects.filter(token=token).first():
        return done
    _ask_stage(build, State.TEARDOWN)
    joint = _joint(build, joint_id)
    known = apart(build)
    _ask(lacks_of(known, tried.means))
    if tried.means == Means.HEAT:
        _ask(wet_lacks(known, tried.is_dry))
    _check_try(tried)
    row = Attempt.objects.create(
        token=token,
        build=build,
        joint=joint,
        means=tried.means,
        minutes=tried.minutes,
        celsius=tried.celsius,
        came=tried.came,
        words=tried.words,
        by=by,
        at=now,
    )
    mark_stuck(joint, tried.came != Came.LOOSE, by=by, now=now)
    facts = {"means": tried.means, "minutes": tried.minutes, "came": tried.came}
    record("joint_tried", build.about, by, now, section=joint.section.name, **facts)
    return row


@transaction.atomic
def tick_step(
    build_id: int,
    step_id: int,
    is_off: bool,
    *,
    is_dry: bool = False,
    token: UUID,
    by: User,
    now: datetime,
) -> StepDone:
    """Tick a step of taking apart, or its way back.

    :param is_dry: a solvent used before has dried off; asked of a step with heat.
    :raises Refused: another step comes first, or a step with heat lacks what heat needs.
    """
    build = locked(build_id)
    if done := StepDone.objects.filter(token=token).first():
        return done
    _ask_stage(build, State.TEARDOWN, State.INSTALL, State.TEST)
    rows = take_aparts([build.hilt_id])[build.hilt_id].rows if build.hilt_id else []
    row = next((each for each in rows if each.step.pk == step_id), None)
    if row is None:
        raise Refused(_("This step is off the list by now. Look at it anew."))
    known = apart(build)
    if known.is_off(step_id) == is_off and step_id in known.off:
        return known.off[step_id]
    _ask_order(row, rows, known, is_off)
    if is_off and row.step.wants_heat:
        _ask_stage(build, State.TEARDOWN)  # later its cell and electronics are in again
        _ask(heat_lacks(known) + wet_lacks(known, is_dry))
    written = StepDone.objects.create(
        token=token, build=build, step=row.step, is_off=is_off, by=by, at=now
    )
    record("step_off" if is_off else "step_on", build.about, by, now, step=row.step.words)
    return written


@transaction.atomic
def try_depth(
    build_id: int, depth_mm: float, as_typed: str, *, token: UUID, by: User, now: datetime
) -> DepthTried:
    """Write down how deep a stub tube went in. Too little is written down as well: a finding."""
    build = locked(build_id)
    if done := DepthTried.objects.filter(token=token).first():
        return done
    _ask_stage(build, State.INTAKE, State.TEARDOWN, State.INSTALL, State.TEST)
    if not math.isfinite(depth_mm) or not 0 <= depth_mm <= DEEPEST_MM:
        raise Refused(_("A depth goes from 0 to 300 mm. Look at the unit."))
    row = DepthTried.objects.create(
        token=token, build=build, depth_mm=depth_mm, as_typed=as_typed, by=by, at=now
    )
    record("depth_tried", build.about, by, now, typed=as_typed)
    return row


def _joint(build: Build, joint_id: int) -> Joint:
    joint = Joint.objects.select_related("section__hilt").filter(
        pk=joint_id, section__hilt=build.hilt_id, ended_at=None
    )
    if found := joint.first():
        return found
    raise Refused(_("This joint is off the hilt by now. Look at it anew."))


def _ask(lacks: list[str]) -> None:
    if lacks:
        raise Refused(" ".join(lacks))


def _ask_stage(build: Build, *stages: State) -> None:
    if build.state not in stages:
        raise Refused(
            _("%(number)s is in %(where)s: this is done in %(stages)s.")
            % {
                "number": build,
                "where": build.get_state_display(),
                "stages": " / ".join(str(stage.label) for stage in stages),
            }
        )


def _check_try(tried: Try) -> None:
    if not 0 < tried.minutes <= MOST_MINUTES:
        raise Refused(_("A try takes from 1 to 600 minutes."))
    if tried.means != Means.HEAT and tried.celsius is not None:
        raise Refused(_("Degrees go with heat alone."))
    if tried.celsius is not None and not 0 < tried.celsius <= HOTTEST_C:
        raise Refused(_("Heat goes up to 400 °C here. Look at the number."))


def _ask_order(row: StepRow, rows: list[StepRow], known: Apart, is_off: bool) -> None:
    if is_off:
        waits = [first.words for first in row.firsts if not known.is_off(first.pk)]
        if waits:
            raise Refused(_("First comes off: %(steps)s.") % {"steps": ", ".join(waits)})
        return
    later = [each.step.words for each in rows if _is_behind(each, row.step, known)]
    if later:
        raise Refused(_("First goes back on: %(steps)s.") % {"steps": ", ".join(later)})


def _is_behind(other: StepRow, step: Step, known: Apart) -> bool:
    """Whether another step came off after this one and is off still."""
    return step.pk in other.first_ids and known.is_off(other.step.pk)
