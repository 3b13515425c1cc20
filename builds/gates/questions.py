"""What is asked at each gate: one function a condition, and the tables of who is asked what."""

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from builds.fitting.queries.listed import Fitted
from builds.fitting.states import ALWAYS_WITH_PARTS
from builds.gates.apart import bores, chassis, consents, depth, joints, steps
from builds.gates.ceilings import ceiling
from builds.gates.customs import customs
from builds.gates.handed import handed
from builds.gates.known import (
    LEAVE,
    MET,
    PASSED,
    START,
    UNMET,
    Condition,
    Known,
    Question,
    condition,
)
from builds.gates.money import deposit, settled
from builds.gates.proved import proved
from builds.gates.reckoned import decisions, fit, power, slots
from builds.gates.tried import blade_tried, card, gestures, gestures_tried, slots_verified
from builds.intake.models import CellResult, View
from builds.intake.queries import PACKED_VIEW
from builds.progress.models import Build
from builds.progress.states import Kind, Leaves, State
from shop.orders.models import AnswerKind

__all__ = [
    "AT_THE_PARCEL", "LEAVE", "LEAVING", "MET", "PASSED", "START", "STARTING", "UNMET",
    "Condition", "Known",
]  # fmt: skip
_NAMED = 3  # parts named in a line of conditions


def _arrived(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return condition(
        "arrived",
        bool(known.intake.arrivals),
        _("Arrived"),
        _("Not arrived yet"),
        _("Log its arrival"),
        "#arrival",
    )


def _agreed(known: Known) -> Condition | None:
    return _answered(
        known, AnswerKind.AGREED, _("Agreed"), _("Not agreed yet"), _("Record the yes")
    )


def _reconfirmed(known: Known) -> Condition | None:
    if known.build.kind not in {Kind.FULL, Kind.UPGRADE}:
        return None
    return _answered(
        known,
        AnswerKind.RECONFIRMED,
        _("Still wanted, same options"),
        _("Ask again before work starts: still wanted, same options?"),
        _("Record the answer"),
    )


def _answered(known: Known, kind: AnswerKind, yes: str, no: str, deed: str) -> Condition:
    answer = known.answers.get((known.build.item_id, kind))
    if answer and not answer.is_yes and answer.by_customer:
        # Not in the customer's words: they may name a price, which the bench does not see.
        no = _("The customer said no")
    return condition(kind, bool(answer and answer.is_yes), yes, no, deed, f"?kind={kind}#answers")


def _views(known: Known) -> Condition | None:
    wanted = known.views.get(known.build.state, [])
    if known.build.hilt is None or not wanted:
        return None
    missing = [
        view.label
        for view in wanted
        if view.pk not in known.intake.view_ids and _applies(view, known.build)
    ]
    count = len(missing)
    return condition(
        "views",
        not missing,
        _("All views taken"),
        ngettext("%(n)d view to take: %(which)s", "%(n)d views to take: %(which)s", count)
        % {"n": count, "which": ", ".join(missing)},
        ngettext("Take %(n)d view", "Take %(n)d views", count) % {"n": count},
        "#photos",
    )


def _applies(view: View, build: Build) -> bool:
    # What is collected in person has no packed box to show.
    return view.code != PACKED_VIEW or build.leaves_by == Leaves.POST


def _belongings(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return condition(
        "belongings",
        known.intake.belongings_noted,
        _("Belongings noted"),
        _("What else was in the box?"),
        _("Note belongings"),
        "#belongings",
    )


def _condition_noted(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return condition(
        "condition",
        bool(known.intake.notes),
        _("Condition noted"),
        _("Condition not noted"),
        _("Note the condition"),
        "#condition",
    )


def _cell(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    cell, back = known.intake.cell, known.back_since
    no = _("Cell not checked: is one inside?")
    if cell and back:
        no = _("It came back with parts inside: take the cell out and look at it again.")
    return condition(
        "cell",
        cell is not None and (back is None or cell.at >= back),
        _("Cell checked"),
        no,
        _("Check the cell"),
        "#cell",
        never_pass=True,
    )


_CELL_STAYS = {
    CellResult.ASIDE: gettext_lazy(
        "The cell was set aside as damaged. Check the one that goes along."
    ),
    CellResult.REWRAP: gettext_lazy(
        "The cell's wrap is torn. Check the cell that goes along, or this one in its new wrap."
    ),
    "drained": gettext_lazy(
        "The cell is over-discharged. Set it aside, and check the one that goes along."
    ),
}


def _cell_aside(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    why = "" if _goes_without(known) else known.intake.why_cell_stays
    return condition(
        "cell-aside",
        not why,
        _("No damaged cell goes along"),
        str(_CELL_STAYS.get(why, _CELL_STAYS[CellResult.ASIDE])),
        _("Check the cell"),
        "#cell",
        never_pass=True,
    )


def _goes_without(known: Known) -> bool:
    """Whether its parcel holds no cell of it: then a damaged one stays in the shop."""
    things = known.classing.contents.things if known.classing else ()
    own = [thing for thing in things if thing.is_build and thing.pk == known.build.pk]
    return bool(own) and not any(thing.goes_along for thing in own)


def _stands(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    return condition(
        "stands",
        bool(known.build.tray or known.build.place),
        _("Tray or place given"),
        _("No tray or place yet"),
        _("Give it a tray"),
        "#stands",
        never_pass=True,  # the database holds it too
    )


def _accounted(known: Known) -> Condition | None:
    if known.build.hilt is None:
        return None
    open_ones = known.intake.unaccounted
    return condition(
        "accounted",
        not open_ones,
        _("Belongings accounted for"),
        _("Back in the box? %s") % ", ".join(open_ones),
        _("Tick belongings"),
        "#belongings",
    )


def _parts(known: Known) -> Condition | None:
    parts = known.parts
    if not parts.listed and known.build.kind not in ALWAYS_WITH_PARTS:
        return None
    page = reverse("fitting_parts", args=[known.build.number])
    no, deed = _parts_missing(parts)
    met = bool(parts.listed) and not parts.to_fit and not parts.without_serial
    return condition("parts", met, _("Parts fitted"), no, deed, page)


def _parts_missing(parts: Fitted) -> tuple[str, str]:
    count = len(parts.to_fit)
    if not parts.listed:
        return _("No part listed yet"), _("List its parts")
    if count:
        words = ngettext("%(n)d part to fit: %(which)s", "%(n)d parts to fit: %(which)s", count)
        said = words % {"n": count, "which": _few(parts.to_fit)}
        return said, ngettext("Fit %d part", "Fit %d parts", count) % count
    which = _few(parts.without_serial)
    return _("Serial number missing: %s") % which, _("Note the number")


def _few(names: list[str]) -> str:
    """The first names of a list, and that there are more."""
    return ", ".join(names[:_NAMED]) + (" …" if len(names) > _NAMED else "")


def _parcel(known: Known) -> Condition | None:
    if known.build.leaves_by != Leaves.POST:
        return None
    return condition(
        "parcel",
        known.parcel is not None,
        _("In a parcel"),
        _("Not in a parcel yet"),
        _("Close the parcel"),
        "#gate",
        never_pass=True,
    )


def _classed(known: Known) -> Condition | None:
    # Asked of what lies in a parcel: until then "parcel" is what is missing.
    if known.build.leaves_by != Leaves.POST or known.parcel is None or known.classing is None:
        return None
    return condition(
        "classed",
        known.classing.may_go,
        known.classing.head,
        known.classing.in_words,
        _("Class the parcel"),
        reverse("dispatch_parcel", args=[known.parcel.pk]) + "#class",
        never_pass=True,
    )


def _packed(known: Known) -> Condition | None:
    if known.packing is None or known.parcel is None:
        return None
    page = reverse("dispatch_parcel", args=[known.parcel.pk])
    if known.classing and known.classing.unsafe:
        whose = ", ".join(thing.name for thing in known.classing.unsafe)
        no = _("Where is the cell, and how are its ends safe? %s") % whose
        return condition("packed", False, "", no, _("Say it"), page + "#cells", never_pass=True)
    left = known.packing.open
    count = len(left)
    words = ngettext("%(n)d line to tick: %(which)s", "%(n)d lines to tick: %(which)s", count)
    return condition(
        "packed",
        not left,
        _("Packed, every line ticked"),
        words % {"n": count, "which": _few([line.words.partition(":")[0] for line in left])},
        _("Pack it"),
        page + "#list",
    )


STARTING: dict[str, tuple[Question, ...]] = {
    State.TEARDOWN: (_cell, _reconfirmed),
}
LEAVING: dict[str, tuple[Question, ...]] = {
    State.BOOKED: (_arrived, _agreed, deposit),
    State.INTAKE: (_arrived, _views, _belongings, _condition_noted, _cell, _stands),
    State.TEARDOWN: (
        bores,
        joints,
        steps,
        chassis,
        depth,
        fit,
        slots,
        power,
        decisions,
        consents,
        ceiling,
    ),
    # What was raised or added after teardown is judged again, not held against what was kept.
    State.INSTALL: (_parts, slots, gestures, fit, power, decisions, _views, ceiling),
    State.TEST: (proved, blade_tried, slots_verified, gestures_tried, card, fit, power, decisions),
    State.DISPATCH: (
        _views,
        _accounted,
        handed,
        settled,
        _cell_aside,
        _parcel,
        _packed,
        _classed,
        customs,
    ),
}
# What is done when a parcel is packed: asked when it leaves, not before there is one.
AT_THE_PARCEL = frozenset({"views", "accounted", "handed", "parcel", "packed", "classed"})
