"""The six stages, the five endings, kinds of job and ways of leaving, and the sets made of them."""

from datetime import timedelta

from django.db import models
from django.utils.translation import gettext_lazy as _


class State(models.TextChoices):
    """Where a build is: a stage, or how it ended."""

    BOOKED = "booked", _("booked")
    INTAKE = "intake", _("intake")
    TEARDOWN = "teardown", _("teardown")
    INSTALL = "install", _("install")
    TEST = "test", _("test")
    DISPATCH = "dispatch", _("dispatch")
    SENT = "sent", _("sent")
    COLLECTED = "collected", _("collected")
    RETURNED = "returned", _("returned unfinished")
    WITHDRAWN = "withdrawn", _("withdrawn")
    ABANDONED = "abandoned", _("abandoned")


STAGES = (
    State.BOOKED, State.INTAKE, State.TEARDOWN, State.INSTALL, State.TEST, State.DISPATCH,
)  # fmt: skip
ON_THE_RULE = STAGES[1:]
ENDINGS = (
    State.SENT, State.COLLECTED, State.RETURNED, State.WITHDRAWN, State.ABANDONED,
)  # fmt: skip
# What is in the hilt can be tried on it; before that a line or a slot is a plan.
PARTS_IN = frozenset({State.INSTALL, State.TEST, State.DISPATCH})
# Ended with the work done: the hilt's own page tells of these.
FINISHED = (State.SENT, State.COLLECTED)
# A move can be taken back this long; messages that it caused leave only afterwards.
UNDO_WITHIN = timedelta(seconds=60)


class Kind(models.TextChoices):
    """The kind of job."""

    FULL = "full", _("full install")
    UPGRADE = "upgrade", _("upgrade or board swap")
    REPAIR = "repair", _("repair")
    WARRANTY = "warranty", _("warranty")
    BLADE = "blade", _("blade only")


class Leaves(models.TextChoices):
    """How the finished build leaves the shop."""

    POST = "post", _("by post")
    COLLECTION = "collection", _("collected in person")


class HoldReason(models.TextChoices):
    """Why a build waits."""

    PARTS = "parts", _("parts ordered")
    PART_WRONG = "part_wrong", _("part wrong or dead")
    ANSWER = "answer", _("an answer")
    ITEM = "item", _("customer's item not here")
    SOUNDS = "sounds", _("customer's sound files")
    DEPOSIT = "deposit", _("deposit")
    BALANCE = "balance", _("balance")
    SHOP = "shop", _("the shop itself")
    STUCK = "stuck", _("stuck joint, consent to heat")
    CARRIER = "carrier", _("the carrier")
    WARRANTY = "warranty", _("a warranty question")
    OTHER = "other", _("something else")


class Spent(models.TextChoices):
    """What time was spent on; each is learned from on its own."""

    WORK = "work", _("the work itself")
    REWORK = "rework", _("rework")
    STUCK = "stuck", _("a stuck joint")


MOST_MINUTES = 24 * 60  # of one stretch of work
# Such a hold may wait for a line of a purchase order.
FOR_PARTS = (HoldReason.PARTS, HoldReason.PART_WRONG)


class Turn(models.TextChoices):
    """Who must act before a hold can end."""

    SHOP = "shop", _("our turn")
    CUSTOMER = "customer", _("customer's turn")
    SUPPLIER = "supplier", _("supplier's turn")
    CARRIER = "carrier", _("carrier's turn")


def next_stage(state: str) -> State | None:
    """The stage after this one; None after dispatch and after an ending."""
    if state not in STAGES or state == State.DISPATCH:
        return None
    return STAGES[STAGES.index(State(state)) + 1]


def is_earlier(one: str, other: str) -> bool:
    """Whether one stage comes before another."""
    return STAGES.index(State(one)) < STAGES.index(State(other))
