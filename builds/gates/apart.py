"""What is asked before a build leaves teardown: measured, apart, agreed."""

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.gates.known import Condition, Known, condition
from builds.hilts.queries import TakeApart
from builds.hilts.states import MeasuredThing
from builds.progress.states import Kind
from builds.teardown.models import Means
from builds.teardown.queries import Apart
from shop.orders.models import AnswerKind
from shop.stores.units import shown

# Kinds of job for which a chassis is made or changed: they need the hilt's inside on paper.
_NEW_CHASSIS = {Kind.FULL, Kind.UPGRADE}


def bores(known: Known) -> Condition | None:
    """Every section's bore is measured, not told and not believed."""
    if not _asks(known) or known.shape is None:
        return None
    missing = [
        each.section.name
        for each in known.shape.sections
        if not (bore := each.known.get(MeasuredThing.BORE)) or not bore.is_measured
    ]
    no = _("Bore to measure: %s") % ", ".join(missing)
    if not known.shape.sections:
        no = _("No section of the hilt is measured yet")
    is_met = bool(known.shape.sections) and not missing
    return condition("bores", is_met, _("Bores measured"), no, _("Measure it"), _hilt(known))


def joints(known: Known) -> Condition | None:
    """What holds each section to the next is noted."""
    if not _asks(known) or known.shape is None or not known.shape.sections:
        return None
    missing = [each.section.name for each in known.shape.sections[:-1] if not each.joint]
    no = _("Joint to note behind: %s") % ", ".join(missing)
    return condition(
        "joints", not missing, _("Joints noted"), no, _("Note the joints"), _hilt(known)
    )


def steps(known: Known) -> Condition | None:
    """How it comes apart is written down."""
    if not _asks(known) or known.steps is None:
        return None
    link = reverse("hilts_steps", args=[known.build.hilt_id]) + f"?build={known.build.number}"
    return condition(
        "steps",
        bool(known.steps.groups),
        _("Take-apart steps written down"),
        _("No take-apart steps yet"),
        _("Write the steps"),
        link,
    )


def chassis(known: Known) -> Condition | None:
    """The kind of chassis is chosen."""
    if not _asks(known):
        return None
    return condition(
        "chassis",
        bool(known.plan and known.plan.chassis),
        _("Chassis chosen"),
        _("Which chassis: removable, fixed or none?"),
        _("Choose the chassis"),
        reverse("fitting_parts", args=[known.build.number]),
    )


def depth(known: Known) -> Condition | None:
    """Where a blade goes in, its depth is tried with a stub tube, and is enough.

    Any job that puts a blade in asks; one that makes a chassis asks of every socket.
    """
    if known.build.hilt is None or known.apart is None:
        return None
    has_socket = known.shape is not None and known.shape.socket is not None
    has_blade = known.parts.has_blade or known.build.blade_id is not None
    if not has_blade and not (_asks(known) and has_socket):
        return None
    tried = known.apart.depth
    no = _("Blade’s depth not tried yet")
    if tried:
        limits = known.apart.house
        least = shown(limits.least_depth_mm, limits.length_unit)
        facts = {"depth": tried.as_typed, "least": least}
        no = _("The blade goes in %(depth)s; %(least)s is the least") % facts
    is_met = known.apart.is_deep_enough
    yes, link = _("Blade’s depth tried"), _apart(known, "#depth")
    return condition("depth", is_met, yes, no, _("Try the depth"), link)


def consents(known: Known) -> Condition | None:
    """What was done with heat or a drill, and what the steps want, has the customer's yes."""
    if known.build.hilt is None or known.apart is None:
        return None
    asked = _consents_asked(known.apart, known.steps)
    if not asked:
        return None
    missing = [kind for kind in asked if not known.apart.agreed(kind)]
    no = _("Needs the customer’s yes: %s") % ", ".join(str(kind.label) for kind in missing)
    yes, deed = _("Consents answered"), _("Record the answer")
    link = f"?kind={missing[0]}#answers" if missing else "#answers"
    return condition("consents", not missing, yes, no, deed, link, never_pass=True)


def _consents_asked(apart: Apart, steps: TakeApart | None) -> list[AnswerKind]:
    used = {tried.means for tried in apart.attempts}
    wants_heat = any(row.step.wants_heat for row in steps.rows) if steps else False
    heat = [AnswerKind.HEAT] if wants_heat or Means.HEAT in used else []
    return heat + ([AnswerKind.DRILLING] if Means.DRILL in used else [])


def _asks(known: Known) -> bool:
    return known.build.hilt is not None and known.build.kind in _NEW_CHASSIS


def _hilt(known: Known) -> str:
    return reverse("hilts_hilt", args=[known.build.hilt_id]) + f"?build={known.build.number}"


def _apart(known: Known, part: str) -> str:
    return reverse("teardown_apart", args=[known.build.number]) + part
