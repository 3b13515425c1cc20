"""The conditions between stages, each answered from data.

``conditions`` assembles, for many builds in a constant number of queries, what must be met before
a build may start or leave its stage. A condition that a later part of the house will answer is
simply not here yet; none is taken for met.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime

from django.db.models import F
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries import packings, parcel_of
from builds.dispatch.queries.classing import as_the_gate_asks
from builds.dispatch.queries.going import goings
from builds.fitting.queries.findings import findings_of, plans_of
from builds.fitting.queries.foreseen import foreseen
from builds.fitting.queries.listed import how_far
from builds.gates import reckoned
from builds.gates.models import Pass
from builds.gates.questions import (
    AT_THE_PARCEL,
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
from builds.handover.queries.booklets import published_booklets
from builds.handover.queries.films import published_films
from builds.handover.queries.gestures import standing_gestures
from builds.hilts.queries import Shape, shapes, take_aparts
from builds.intake.queries import facts, required_views
from builds.progress.models import Build, Hold
from builds.progress.queries import back_since, builds, open_holds, still_so
from builds.progress.states import STAGES, State, next_stage
from builds.proving.queries import proofs
from builds.sounds.queries import slots_of
from builds.sounds.queries.cards import cards_held
from builds.teardown.queries import aparts
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.orders.queries import newest_answers
from shop.web.reading import keeping

__all__ = [
    "LEAVE", "MET", "PASSED", "START", "UNMET", "Condition", "before_packing", "conditions",
    "ending_conditions", "stops", "to_leave_and_to_start",
]  # fmt: skip


def conditions(build_ids: Iterable[int], trigger: str = LEAVE) -> dict[int, list[Condition]]:
    """Build id → the conditions for starting or leaving the stage that it is in.

    Leaving a stage that was never started asks the conditions of starting it as well.
    """
    rows = builds().filter(pk__in=list(build_ids))
    return {known.build.pk: _asked(known, trigger) for known in _known(rows)}


def to_leave_and_to_start(
    rows: Iterable[Build],
) -> tuple[dict[int, list[Condition]], dict[int, list[Condition]]]:
    """The conditions for leaving and those for starting, of builds as ``builds()`` reads them."""
    found = _known(rows)
    leaving = {known.build.pk: _asked(known, LEAVE) for known in found}
    return leaving, {known.build.pk: _asked(known, START) for known in found}


def _asked(known: Known, trigger: str) -> list[Condition]:
    build = known.build
    asked = list(STARTING.get(build.state, ()))
    if trigger == LEAVE:
        asked = ([] if build.started_at else asked) + list(LEAVING.get(build.state, ()))
    answered = [_let_by(condition, known) for question in asked if (condition := question(known))]
    return answered + _holding(known, trigger)


def _known(asked: Iterable[Build]) -> list[Known]:
    with keeping():
        return _read(asked)


def _read(asked: Iterable[Build]) -> list[Known]:
    rows, shop = list(asked), house()
    ids = [row.pk for row in rows]
    # What is asked of many is read before what is asked of some of them: it is read once then.
    going, parcels = goings(rows), parcel_of(ids)
    intake, views, holds = facts(ids), required_views(), open_holds(ids)
    parts = how_far(ids)
    at_work = [row for row in rows if row.state in reckoned.STAGES]
    shape, plans = _shapes(at_work), plans_of(row.pk for row in at_work)
    packed = [parcels[row.pk] for row in rows if _is_being_packed(row, parcels)]
    classed = as_the_gate_asks({row.pk: row for row in packed}.values(), calendar(shop))
    found = findings_of(_reckoned(rows), shop)
    packing = packings(parcels[row.pk] for row in rows if _is_being_packed(row, parcels))
    proved = proofs(row.pk for row in rows if row.state == State.TEST)
    inside = [row.pk for row in rows if row.state in {State.INSTALL, State.TEST}]
    told, slots, held = standing_gestures(inside), slots_of(inside), cards_held(inside)
    answers, back = newest_answers(row.item_id for row in rows), back_since(ids)
    handed, old = _handed((row.pk for row in rows if row.state == State.DISPATCH), back)
    over = foreseen(row for row in rows if row.is_open)
    passes = _passes(ids)
    opened = [row for row in rows if row.state == State.TEARDOWN and row.hilt_id]
    apart, steps = aparts(opened), take_aparts(row.hilt_id or 0 for row in opened)
    return [
        Known(
            build=row,
            intake=intake[row.pk],
            views=views,
            answers=answers,
            holds=holds.get(row.pk, []),
            parcel=parcels.get(row.pk),
            classing=classed.get(parcels[row.pk].pk) if row.pk in parcels else None,
            house=shop,
            packing=packing.get(parcels[row.pk].pk) if row.pk in parcels else None,
            parts=parts[row.pk],
            back_since=back.get(row.pk),
            foreseen=over.get(row.pk),
            passes=passes.get(row.pk, {}),
            going=going[row.pk],
            shape=shape.get(row.hilt_id or 0),
            steps=steps.get(row.hilt_id or 0),
            apart=apart.get(row.pk),
            plan=plans.get(row.pk),
            proof=proved.get(row.pk),
            handed=row.pk in handed,
            has_old_booklet=row.pk in old,
            gestures=told.get(row.pk, []),
            slots=slots.get(row.pk, []),
            card_held=held.get(row.pk),
            found=found.get(row.pk),
        )
        for row in rows
    ]


def _passes(ids: list[int]) -> dict[int, dict[str, Pass]]:
    """Build id → code → the owner's word, of those given since the build came where it is."""
    found: dict[int, dict[str, Pass]] = {}
    here = Pass.objects.filter(build__in=ids, stage=F("build__state"))
    for row in here.filter(at__gte=F("build__state_since")).select_related("by").order_by("pk"):
        found.setdefault(row.build_id, {})[row.code] = row
    return found


def _is_being_packed(row: Build, parcels: dict[int, Parcel]) -> bool:
    return row.state == State.DISPATCH and row.pk in parcels


def _handed(asked: Iterable[int], back: Mapping[int, datetime]) -> tuple[set[int], set[int]]:
    """Those of which a film or a booklet is published; those whose booklet is old.

    One of before a rework tells what is no more so.
    """
    ids = list(asked)
    booklets = published_booklets(ids).items()
    old = {
        pk
        for pk, found in booklets
        if not all(still_so(each.made_at, back.get(pk)) for each in found.values())
    }
    return {*published_films(ids), *(pk for pk, _found in booklets if pk not in old)}, old


def _reckoned(rows: Iterable[Build]) -> list[Build]:
    """Those whose gate asks what the sums found."""
    return [row for row in rows if row.state in reckoned.STAGES and row.kind in reckoned.KINDS]


def _shapes(rows: Iterable[Build]) -> dict[int, Shape]:
    return shapes(row.hilt for row in rows if row.hilt)


def _let_by(condition: Condition, known: Known) -> Condition:
    """The owner's word, given with a reason, opens a condition that may be passed."""
    word = known.passes.get(condition.code)
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


def before_packing(asked: Iterable[Condition]) -> list[Condition]:
    """Of what is asked of a build in dispatch, what stops it from getting a parcel at all."""
    return [one for one in asked if not one.is_open and one.code not in AT_THE_PARCEL]


def ending_conditions(build_id: int) -> list[Condition]:
    """The conditions for ending a build unfinished."""
    known = _known(builds().filter(pk=build_id))[0]
    return [_let_by(condition, known) for question in ENDING if (condition := question(known))]
