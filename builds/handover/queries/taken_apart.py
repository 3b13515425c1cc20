"""How a hilt comes apart, as its owner is told: the same steps in the booklet and in the film."""

from django.utils.translation import gettext as _

from builds.handover.booklet_words import take_apart
from builds.hilts.models import Step
from builds.hilts.queries import TakeApart

OURS = "-"  # a step that is the shop's for no reason that was written down


def taken_apart(known: TakeApart) -> take_apart.TakenApart:
    """The way there and back, and what is left to the shop."""
    steps = [
        take_apart.Step(row.step.pk, row.step.words, row.step.how, _why_ours(row.step))
        for row in known.rows
    ]
    return take_apart.in_words(steps, {row.step.pk: row.first_ids for row in known.rows})


def _why_ours(step: Step) -> str:
    if step.wants_heat:
        return _("wants heat, and there is a battery inside")
    return "" if step.for_owner else OURS
