"""What is asked of the sums from teardown to test: does it fit, will the cell carry it."""

from collections.abc import Sequence

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.fitting.queries.findings import Said
from builds.gates.known import Condition, Known, condition
from builds.progress.states import Kind, State

# Stages whose gate asks what the sums found, and the kinds of jobs that are judged by them.
STAGES = frozenset({State.TEARDOWN, State.INSTALL, State.TEST})
KINDS = frozenset({Kind.FULL, Kind.UPGRADE})
# A current above what a lithium cell, its protection, a board, a connector, a switch or a wire
# bears is a fire in somebody's hand: it stands with a short and a torn wrap among what nobody can
# pass. What is too large to fit hurts nobody, and a figure that is missing breaks no limit yet:
# those the owner may pass with a reason.
_FIRE = frozenset({"over-limit", "over-upper"})
_NAMED = 5  # limits named in a line of conditions


def fit(known: Known) -> Condition | None:
    """Nothing of the fit stops it, where a fit is asked for."""
    if known.found is None or known.found.fit is None or not _is_asked(known):
        return None
    why = known.found.fit.why
    link = reverse("fitting_fit", args=[known.build.number])
    return condition("fit", not why, _("It fits"), why, _("See the fit"), link)


def slots(known: Known) -> Condition | None:
    """The card is described."""
    if known.found is None:
        return None
    count = len(known.found.judged.wants.slots)
    return condition(
        "slots",
        count > 0,
        ngettext("%(n)d slot described", "%(n)d slots described", count) % {"n": count},
        _("No slot described yet"),
        _("Describe the slots"),
        reverse("sounds_slots", args=[known.build.number]),
    )


def power(known: Known) -> Condition | None:
    """The build's own slots at its cap break no limit, and nothing is missing to say so."""
    if known.found is None or not _is_asked(known):
        return None
    stops, lacks = known.found.stops, known.found.unanswered
    yes, deed = _("The cell carries every slot"), _("See the power")
    link = reverse("fitting_power", args=[known.build.number])
    if lacks and not stops:
        return condition("power", False, yes, lacks[0].text, lacks[0].deed, lacks[0].url)
    never = any(each.code in _FIRE for each in stops)
    return condition("power", not stops, yes, _broken(stops), deed, link, never_pass=never)


def _broken(stops: Sequence[Said]) -> str:
    """Every limit that is broken: a single one in full, several by what they were found at."""
    names = list(dict.fromkeys(each.about or each.text for each in stops))
    if len(names) < 2:
        return stops[0].text if stops else ""
    which = ", ".join(names[:_NAMED]) + (" …" if len(names) > _NAMED else "")
    return _("%(n)d limits are broken: %(which)s") % {"n": len(names), "which": which}


def _is_asked(known: Known) -> bool:
    """Whether fit and power are asked: in teardown, and later of what was judged as it left it."""
    plan = known.found.plan if known.found else None
    return known.build.state == State.TEARDOWN or bool(plan and plan.frozen_at)


def decisions(known: Known) -> Condition | None:
    """Whatever the sums want decided is decided."""
    if known.found is None or not _is_asked(known):
        return None
    if not (known.found.to_decide or known.found.decided):
        return None
    asked = known.found.to_decide
    count = len(asked)
    words = ngettext(
        "%(n)d decision to take: %(first)s", "%(n)d decisions to take: %(first)s", count
    )
    return condition(
        "decisions",
        not asked,
        _("What needs a decision is decided"),
        words % {"n": count, "first": asked[0].text} if asked else "",
        ngettext("Take %(n)d decision", "Take %(n)d decisions", count) % {"n": count},
        reverse("fitting_power", args=[known.build.number]),
    )
