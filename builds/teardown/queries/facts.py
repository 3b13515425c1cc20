"""What is out of a build, what was tried on its joints, and what still forbids heat."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeVar

from django.db.models import QuerySet
from django.utils.translation import gettext as _

from builds.intake.models import CellCheck, CellResult
from builds.intake.queries import cell_checks
from builds.progress.models import Build
from builds.progress.queries import back_since
from builds.teardown.models import Attempt, Came, DepthTried, Inside, Means, StepDone, TakenOut
from shop.house.models import House
from shop.house.queries import house
from shop.orders.models import Answer, AnswerKind
from shop.orders.queries import newest_answers

Row = TypeVar("Row", CellCheck, TakenOut, StepDone, Attempt, DepthTried)
Answers = Mapping[tuple[int, str], Answer]


@dataclass
class Apart:
    """What was done on one build in taking it apart, since it was last put together."""

    build: Build
    house: House
    cell: CellCheck | None = None
    out: dict[str, TakenOut] = field(default_factory=dict)
    off: dict[int, StepDone] = field(default_factory=dict)  # step id → newest row
    attempts: list[Attempt] = field(default_factory=list)
    depth: DepthTried | None = None
    answers: Answers = field(default_factory=dict)

    def is_out(self, what: str) -> bool:
        """Whether the cell or the electronics are out, by a tick or by the look at the cell."""
        row = self.out.get(what)
        return (row is not None and row.is_out) or (what == Inside.CELL and self.has_no_cell)

    @property
    def has_no_cell(self) -> bool:
        """Whether the newest look found no cell inside, and none went in since."""
        if self.cell is None or self.cell.result != CellResult.NONE:
            return False
        row = self.out.get(Inside.CELL)
        return row is None or row.is_out or row.at < self.cell.at

    def is_off(self, step_id: int) -> bool:
        """Whether a step of taking apart is done."""
        row = self.off.get(step_id)
        return row is not None and row.is_off

    def agreed(self, kind: str) -> bool:
        """Whether the customer's newest answer of a kind is a yes."""
        answer = self.answers.get((self.build.item_id, kind))
        return answer is not None and answer.is_yes

    @property
    def is_deep_enough(self) -> bool:
        """Whether a blade was tried, and went in far enough."""
        return self.depth is not None and self.depth.depth_mm >= self.house.least_depth_mm

    @property
    def is_wet(self) -> bool:
        """Whether a solvent was used since the last heat, on any joint: it must dry off first.

        What was tried by hand meanwhile dries nothing.
        """
        means = [each.means for each in self.attempts if each.means in {Means.HEAT, Means.SOLVENT}]
        return means[-1:] == [Means.SOLVENT]

    def minutes(self, joint_id: int) -> int:
        """Minutes of tries on a joint so far."""
        return sum(each.minutes for each in self.attempts if each.joint_id == joint_id)


def aparts(builds: Iterable[Build]) -> dict[int, Apart]:
    """Build id → what was done on it, in eight queries for all.

    What was out before parts went in again says nothing any more.
    """
    rows = list(builds)
    limits = house()
    found = {build.pk: Apart(build, limits) for build in rows}
    back = back_since(found)
    for build_id, checks in cell_checks(found).items():
        found[build_id].cell = next(iter(_since(reversed(checks), back)), None)
    for row in _since(_of(TakenOut, found).select_related("by"), back):
        found[row.build_id].out[row.what] = row
    for done in _since(_of(StepDone, found).select_related("by"), back):
        found[done.build_id].off[done.step_id] = done
    for tried in _of(Attempt, found).select_related("by", "joint__section"):
        found[tried.build_id].attempts.append(tried)
    for depth in _of(DepthTried, found).select_related("by"):
        found[depth.build_id].depth = depth
    answers = newest_answers(build.item_id for build in rows)
    for each in found.values():
        each.answers = answers
    return found


def apart(build: Build) -> Apart:
    """What was done on one build."""
    return aparts([build])[build.pk]


def tool_lacks(known: Apart) -> list[str]:
    """What still forbids a tool on the hilt, in sentences; nobody can pass it."""
    return [] if known.cell else [_("Look at the cell first, and write the cell check down.")]


def heat_lacks(known: Apart) -> list[str]:
    """What still forbids heat, in sentences; nobody can pass it."""
    lacks = tool_lacks(known)
    if not known.is_out(Inside.CELL):
        lacks.append(_("Take the cell out, and tick “cell out”."))
    if not known.is_out(Inside.ELECTRONICS):
        lacks.append(_("Take the electronics out, and tick “electronics out”."))
    if not known.agreed(AnswerKind.HEAT):
        lacks.append(_("Get the customer’s yes to heat, and record it."))
    return lacks


def wet_lacks(known: Apart, is_dry: bool) -> list[str]:
    """Whether a solvent forbids heat: somebody must have looked that it is off."""
    if is_dry or not known.is_wet:
        return []
    return [_("A solvent was used on this hilt: let it dry off before any heat.")]


def drill_lacks(known: Apart) -> list[str]:
    """What still forbids drilling and turning, in sentences; nobody can pass it."""
    lacks = tool_lacks(known)
    if not known.agreed(AnswerKind.DRILLING):
        lacks.append(_("Get the customer’s yes to drilling, and record it."))
    return lacks


def lacks_of(known: Apart, means: str) -> list[str]:
    """What still forbids a means on a joint."""
    if means == Means.HEAT:
        return heat_lacks(known)
    return drill_lacks(known) if means == Means.DRILL else tool_lacks(known)


def still_stuck(known: Apart) -> list[Attempt]:
    """The newest attempt on each joint that has not come loose."""
    newest = {each.joint_id: each for each in known.attempts}
    return [each for each in newest.values() if each.came != Came.LOOSE]


def _of(model: type[Row], found: Iterable[int]) -> QuerySet[Row]:
    return model._default_manager.filter(build__in=list(found)).order_by("at", "pk")


def _since(rows: Iterable[Row], back: Mapping[int, datetime]) -> Iterable[Row]:
    """Those of the rows that speak of the build as it was last opened."""
    return (row for row in rows if row.at >= back.get(row.build_id or 0, row.at))


def minutes_tried(build: Build) -> int:
    """How many minutes were tried on a build's stuck joints, since it was last put together."""
    since = back_since([build.pk]).get(build.pk)
    tried = build.attempts.all() if since is None else build.attempts.filter(at__gte=since)
    return sum(tried.values_list("minutes", flat=True))


def tried_since(moments: Mapping[int, datetime]) -> dict[int, int]:
    """Build id → minutes tried on its stuck joints since a moment of its own, in one query."""
    found: dict[int, int] = {}
    for each in Attempt.objects.filter(build__in=moments):
        if each.at >= moments[each.build_id]:
            found[each.build_id] = found.get(each.build_id, 0) + each.minutes
    return found
