"""The conditions between stages, each answered from data.

``conditions`` assembles, for many builds in a constant number of queries, what must be met before
a build may start or leave its stage. A condition that a later part of the house will answer is
simply not here yet; none is taken for met.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TypeVar

from django.db.models import F
from django.utils.translation import gettext as _

from builds.dispatch.models import Parcel
from builds.dispatch.queries import packings, parcel_of
from builds.dispatch.queries.classing import as_the_gate_asks
from builds.dispatch.queries.going import Going, goings
from builds.fitting.queries.findings import findings_of, plans_of
from builds.fitting.queries.foreseen import foreseen
from builds.fitting.queries.listed import Fitted, how_far
from builds.gates import reckoned
from builds.gates.models import Pass
from builds.gates.questions import (
    AT_THE_PARCEL,
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
from builds.gates.unfinished import asked_to_end
from builds.handover.queries.booklets import published_booklets
from builds.handover.queries.films import published_films
from builds.handover.queries.gestures import standing_gestures
from builds.hilts.queries import Shape, shapes, take_aparts
from builds.intake.queries import Facts, facts, required_views
from builds.progress.models import Build, Hold
from builds.progress.queries import back_since, builds, open_builds, open_holds, still_so
from builds.progress.states import STAGES, State, next_stage
from builds.proving.queries import proofs
from builds.sounds.queries import slots_of
from builds.sounds.queries.cards import cards_held
from builds.teardown.queries import aparts
from shop.diary.queries import calendar
from shop.house.models import House
from shop.house.queries import house
from shop.orders.queries import newest_answers
from shop.web.reading import keeping
from shop.web.unchanged import last_seen, while_unchanged

__all__ = [
    "LEAVE", "MET", "PASSED", "START", "UNMET", "Asked", "Condition", "asked_before",
    "asked_of_open", "before_packing", "conditions", "ending_conditions", "stops",
    "to_leave_and_to_start",
]  # fmt: skip

One = TypeVar("One")
Key = TypeVar("Key")
Fact = TypeVar("Fact")
# Which stages ask what: tests/gates/test_seen.py holds that none asks for what is not read.
PAYING = (State.BOOKED, State.DISPATCH)
SEEN = (State.BOOKED, State.INTAKE, State.TEARDOWN, State.INSTALL, State.DISPATCH)
SHOWN = (State.INTAKE, State.INSTALL, State.DISPATCH)
LOOKED_AT_AGAIN = (State.INTAKE, State.TEARDOWN, State.TEST, State.DISPATCH)


def conditions(build_ids: Iterable[int], trigger: str = LEAVE) -> dict[int, list[Condition]]:
    """Build id → the conditions for starting or leaving the stage that it is in.

    Leaving a stage that was never started asks the conditions of starting it as well.
    """
    rows = builds().filter(pk__in=list(build_ids))
    return {known.build.pk: _asked(known, trigger) for known in _known(rows)}


@dataclass(frozen=True)
class Asked:
    """Builds, and by their ids what is asked of each before it leaves and before it starts."""

    builds: Sequence[Build]
    leaving: Mapping[int, list[Condition]]
    starting: Mapping[int, list[Condition]]


def to_leave_and_to_start(rows: Sequence[Build]) -> Asked:
    """The conditions for leaving and for starting, of builds as ``builds()`` reads them."""
    found = _known(rows)
    return Asked(
        rows,
        leaving={known.build.pk: _asked(known, LEAVE) for known in found},
        starting={known.build.pk: _asked(known, START) for known in found},
    )


def asked_of_open(now: datetime) -> Asked:
    """The same of every build that has not ended."""
    return while_unchanged(asked_of_open, now, lambda: to_leave_and_to_start(list(open_builds())))


def asked_before(build_id: int, now: datetime) -> list[Condition] | None:
    """What was asked of a build to leave, when the open ones were looked at last.

    None where anything was written since: then it is asked anew.
    """
    seen: Asked | None = last_seen(asked_of_open, now)
    return seen.leaving.get(build_id) if seen else None


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
    """What the gates of these builds are answered from, each fact only of those that are asked it:
    a move waits for the answer.
    """
    rows = list(asked)
    ids = [row.pk for row in rows]
    # What is asked of many is read before what is asked of some of them: it is read once then.
    parcels = _of(parcel_of, _in(rows, State.DISPATCH))
    going, intake = _of(goings, _at(rows, *PAYING)), _of(facts, _in(rows, *SEEN))
    views = required_views() if _in(rows, *SHOWN) else {}
    at_work = _at(rows, *reckoned.STAGES)
    parts, holds = _of(how_far, [row.pk for row in at_work]), open_holds(ids)
    shape, plans = _of(_shapes, at_work), _of(plans_of, [row.pk for row in at_work])
    packed = [parcels[row.pk] for row in rows if row.pk in parcels]
    shop = house() if at_work or packed else House()
    classed = as_the_gate_asks(_each(packed), calendar(shop)) if packed else {}
    found = findings_of(reckon, shop) if (reckon := _reckoned(rows)) else {}
    packing = _of(packings, packed)
    proved = _of(proofs, _in(rows, State.TEST))
    inside = _in(rows, State.INSTALL, State.TEST)
    told, slots = _of(standing_gestures, inside), _of(slots_of, inside)
    held = _of(cards_held, inside)
    promising = _at(rows, State.BOOKED, State.TEARDOWN)
    answers = _of(newest_answers, [row.item_id for row in promising])
    back = _of(back_since, _in(rows, *LOOKED_AT_AGAIN))
    leaving = _in(rows, State.DISPATCH)
    handed, old = _handed(leaving, back) if leaving else (set(), set())
    over = _of(foreseen, _at(rows, State.TEARDOWN, State.INSTALL))
    passes = _passes(ids)
    opened = [row for row in _at(rows, State.TEARDOWN) if row.hilt_id]
    apart, steps = _of(aparts, opened), _of(take_aparts, [row.hilt_id or 0 for row in opened])
    return [
        Known(
            build=row,
            intake=intake.get(row.pk, Facts()),
            views=views,
            answers=answers,
            holds=holds.get(row.pk, []),
            parcel=parcels.get(row.pk),
            classing=classed.get(parcels[row.pk].pk) if row.pk in parcels else None,
            house=shop,
            packing=packing.get(parcels[row.pk].pk) if row.pk in parcels else None,
            parts=parts[row.pk] if row in at_work else Fitted(),
            back_since=back.get(row.pk),
            foreseen=over.get(row.pk),
            passes=passes.get(row.pk, {}),
            going=going.get(row.pk, Going()),
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


def _of(read: Callable[[list[One]], dict[Key, Fact]], asked: list[One]) -> dict[Key, Fact]:
    """What is read of nobody is nothing, and no query is built for it."""
    return read(asked) if asked else {}


def _each(parcels: Iterable[Parcel]) -> list[Parcel]:
    return list({parcel.pk: parcel for parcel in parcels}.values())


def _at(rows: Iterable[Build], *states: str) -> list[Build]:
    return [row for row in rows if row.state in states]


def _in(rows: Iterable[Build], *states: str) -> list[int]:
    return [row.pk for row in _at(rows, *states)]


def _passes(ids: list[int]) -> dict[int, dict[str, Pass]]:
    """Build id → code → the owner's word, of those given since the build came where it is."""
    found: dict[int, dict[str, Pass]] = {}
    here = Pass.objects.filter(build__in=ids, stage=F("build__state"))
    for row in here.filter(at__gte=F("build__state_since")).select_related("by").order_by("pk"):
        found.setdefault(row.build_id, {})[row.code] = row
    return found


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


def ending_conditions(
    build_id: int, ending: str = State.RETURNED, goes: str = ""
) -> list[Condition]:
    """The conditions for ending a build unfinished, and for the way by which its hilt goes back."""
    found = _known(builds().filter(pk=build_id))[0]
    # What it owes and gives back is asked wherever it ends, in test too.
    known = replace(
        found, going=goings([found.build])[build_id], intake=facts([build_id])[build_id]
    )
    questions = asked_to_end(ending, goes)
    return [_let_by(condition, known) for question in questions if (condition := question(known))]
