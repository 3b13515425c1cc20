"""The steps of taking a hilt apart, and what must come off first. No step waits for itself."""

from collections.abc import Collection
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.engineering.take_apart import Loop, groups
from builds.hilts.actions.once import locked, made_before, remember
from builds.hilts.models import Hilt, Step, StepLink
from builds.hilts.queries import step_mark
from builds.hilts.refusals import GoesRound, Overtaken, Refused
from shop.history.actions import record
from shop.people.models import User

MOST_STEPS = 40  # more is a slip of the finger


@transaction.atomic
def add_step(
    hilt: Hilt,
    *,
    words: str,
    how: str,
    for_owner: bool,
    wants_heat: bool,
    firsts: Collection[int],
    token: UUID,
    by: User,
    now: datetime,
) -> Step:
    """Write down a step of taking apart.

    :param firsts: the keys of the steps that must come off before it.
    """
    _ask_heat(for_owner, wants_heat)
    hilt = locked(hilt.pk)
    if made := made_before(token):
        return Step.objects.get(pk=made)
    if hilt.steps.filter(ended_at=None).count() >= MOST_STEPS:
        raise Refused(_("A hilt has at most %(n)d steps here.") % {"n": MOST_STEPS})
    step = hilt.steps.create(words=words, how=how, for_owner=for_owner, wants_heat=wants_heat)
    _wait_for(step, firsts)
    record("step_added", hilt.about, by, now, step=words)
    remember(token, f"step:{step.pk}", by, now)
    return step


@transaction.atomic
def change_step(
    step_id: int,
    *,
    words: str,
    how: str,
    for_owner: bool,
    wants_heat: bool,
    firsts: Collection[int],
    seen: str,
    token: UUID,
    by: User,
    now: datetime,
) -> Step:
    """Change a step and what must come off before it.

    :param seen: the mark of the step that the person saw.
    :raises Refused: it wants heat and is the owner's to do.
    :raises Overtaken: somebody changed it since.
    :raises GoesRound: the steps would wait for each other; nothing is changed.
    """
    _ask_heat(for_owner, wants_heat)
    step = _locked_step(step_id)
    if made_before(token):
        return step
    if step_mark(step, _firsts(step)) != seen:
        raise Overtaken(step.hilt.about)
    step.words, step.how = words, how
    step.for_owner, step.wants_heat = for_owner, wants_heat
    step.save(update_fields=["words", "how", "for_owner", "wants_heat"])
    step.links.all().delete()
    _wait_for(step, firsts)
    record("step_changed", step.hilt.about, by, now, step=words)
    remember(token, f"step:{step.pk}", by, now)
    return step


@transaction.atomic
def end_step(step_id: int, *, by: User, now: datetime) -> Step:
    """Take a step off the list. What waited for it waits for what it waited for. Twice is once."""
    step = _locked_step(step_id)
    if step.ended_at:
        return step
    firsts = _firsts(step)
    for later in StepLink.objects.filter(first=step, step__ended_at=None).select_related("step"):
        for first in firsts:
            StepLink.objects.get_or_create(step=later.step, first_id=first)
    step.ended_at = now
    step.save(update_fields=["ended_at"])
    record("step_ended", step.hilt.about, by, now, step=step.words)
    return step


def _ask_heat(for_owner: bool, wants_heat: bool) -> None:
    """Heat is the workshop's: a booklet never sends a hilt's owner to it."""
    if for_owner and wants_heat:
        raise Refused(
            _("A step that wants heat is not for the owner. Take one of the two ticks off.")
        )


def _locked_step(step_id: int) -> Step:
    locked(Step.objects.values_list("hilt", flat=True).get(pk=step_id))
    return Step.objects.select_related("hilt").get(pk=step_id)


def _firsts(step: Step) -> set[int]:
    return set(step.links.filter(first__ended_at=None).values_list("first", flat=True))


def _wait_for(step: Step, firsts: Collection[int]) -> None:
    known = {each.pk: each for each in step.hilt.steps.filter(ended_at=None)}
    if not set(firsts) <= known.keys() or step.ended_at:
        raise Refused(_("One of these steps is off the list by now. Look at it anew."))
    after: dict[int, set[int]] = {pk: set() for pk in known}
    for one, first in StepLink.objects.filter(step__in=known, first__in=known).values_list(
        "step", "first"
    ):
        after[one].add(first)
    after[step.pk] = set(firsts)
    _ask_for_an_order(known, after)
    StepLink.objects.bulk_create(StepLink(step=step, first_id=first) for first in sorted(firsts))


def _ask_for_an_order(known: dict[int, Step], after: dict[int, set[int]]) -> None:
    try:
        groups(known, after)
    except Loop as loop:
        raise GoesRound(known[int(str(pk))].words for pk in loop.steps) from loop
