"""The conditions between stages, each answered from data.

``conditions`` assembles, for many builds in a constant number of queries, what must be met before
a build may start or leave its stage. A condition that a later part of the house will answer is
simply not here yet; none is taken for met.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries import parcel_of
from builds.gates.models import Pass
from builds.gates.questions import (
    ENDING,
    LEAVE,
    LEAVING,
    MET,
    PASSED,
    START,
    STARTING,
    UNMET,
    Condition,
    Known,
)
from builds.intake.queries import facts, required_views
from builds.progress.models import Build, Hold
from builds.progress.queries import back_since, builds, open_holds
from builds.progress.states import FINISHED, STAGES, State, next_stage
from shop.house.queries import house
from shop.orders.queries import newest_answers
from shop.orders.queries.ledger import Standing, shares, standings

__all__ = [
    "LEAVE", "MET", "PASSED", "START", "UNMET", "Condition", "conditions", "ending_conditions",
    "stops",
]  # fmt: skip


def conditions(build_ids: Iterable[int], trigger: str = LEAVE) -> dict[int, list[Condition]]:
    """Build id → the conditions for starting or leaving the stage that it is in.

    Leaving a stage that was never started asks the conditions of starting it as well.
    """
    found = {}
    for known in _known(list(build_ids)):
        build = known.build
        asked = list(STARTING.get(build.state, ()))
        if trigger == LEAVE:
            asked = ([] if build.started_at else asked) + list(LEAVING.get(build.state, ()))
        answered = [
            _let_by(condition, known) for question in asked if (condition := question(known))
        ]
        found[build.pk] = answered + _holding(known, trigger)
    return found


def _known(ids: list[int]) -> list[Known]:
    rows = list(builds().filter(pk__in=ids))
    intake, views, holds = facts(ids), required_views(), open_holds(ids)
    orders = _orders(rows)
    parcels, keeps = orders.parcels, house().keeps_deposit
    answers, back = newest_answers(row.item_id for row in rows), back_since(ids)
    passes: dict[int, dict[tuple[str, str], Pass]] = {}
    for row in Pass.objects.filter(build__in=ids).select_related("by"):
        passes.setdefault(row.build_id, {})[(row.stage, row.code)] = row
    return [
        Known(
            build=row,
            intake=intake[row.pk],
            views=views,
            answers=answers,
            holds=holds.get(row.pk, []),
            parcel=parcels.get(row.pk),
            back_since=back.get(row.pk),
            passes=passes.get(row.pk, {}),
            money=orders.money[row.item.order_id],
            others_stay=orders.others_stay(row),
            leaving_share=orders.leaving_share(row),
            keeps_deposit=keeps,
        )
        for row in rows
    ]


@dataclass(frozen=True)
class _Orders:
    """The orders that builds belong to: their money, and which of their builds go."""

    money: dict[int, Standing]
    shares: dict[int, int]  # item id → its part of what is charged
    builds: dict[int, list[Build]]  # order id → all of its builds
    parcels: dict[int, Parcel]  # build id → parcel

    def others_stay(self, build: Build) -> bool:
        """Whether another open build of the order stays behind."""
        return any(
            other.is_open and other.pk != build.pk and other.pk not in self.parcels
            for other in self.builds[build.item.order_id]
        )

    def leaving_share(self, build: Build) -> int:
        """What is charged for builds that left finished, that are packed, and for this one."""
        return sum(
            self.shares.get(other.item_id, 0)
            for other in self.builds[build.item.order_id]
            if other.pk == build.pk or other.pk in self.parcels or other.state in FINISHED
        )


def _orders(rows: list[Build]) -> _Orders:
    order_ids = {row.item.order_id for row in rows}
    found: dict[int, list[Build]] = {pk: [] for pk in order_ids}
    ids = []
    for other in Build.objects.filter(item__order__in=order_ids).select_related("item"):
        found[other.item.order_id].append(other)
        ids.append(other.pk)
    money = standings(order_ids)
    return _Orders(money, shares(money), found, parcel_of(ids))


def _let_by(condition: Condition, known: Known) -> Condition:
    """The owner's word, given with a reason, opens a condition that may be passed."""
    word = known.passes.get((known.build.state, condition.code))
    if condition.state != UNMET or condition.never_pass or word is None:
        return condition
    text = _("%(text)s – passed by %(who)s: %(why)s") % {
        "text": condition.text,
        "who": word.by.name,
        "why": word.reason,
    }
    return Condition(condition.code, PASSED, text, link=condition.link)


def _holding(known: Known, trigger: str) -> list[Condition]:
    target = known.build.state if trigger == START else next_stage(known.build.state)
    return [
        Condition(
            f"hold-{held.pk}",
            UNMET,
            _("On hold: %(words)s (%(turn)s)")
            % {"words": held.words, "turn": held.get_turn_display()},
            _("Open hold"),
            "#holds",
            never_pass=True,
        )
        for held in known.holds
        if stops(held, target)
    ]


def stops(held: Hold, target: str | None) -> bool:
    """Whether a hold stops a build from going on to a stage (None: from leaving the shop)."""
    if not held.before:
        return True
    if target is None:
        return True
    return STAGES.index(State(target)) >= STAGES.index(State(held.before))


def ending_conditions(build_id: int) -> list[Condition]:
    """The conditions for ending a build unfinished."""
    known = _known([build_id])[0]
    return [_let_by(condition, known) for question in ENDING if (condition := question(known))]
