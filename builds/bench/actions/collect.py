"""Hands a finished build over in person: what goes back, who took it, and that they signed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.gates import actions as gates
from builds.intake.actions import account_for
from builds.intake.models import Belonging
from builds.progress.actions import locked
from builds.progress.models import Build, Move
from builds.progress.states import State
from shop.people.models import Customer, User


@dataclass(frozen=True)
class Handing:
    """What was said at the counter."""

    who: str
    signed: bool = False
    note: str = ""
    back: Iterable[int] = ()
    stays: Mapping[int, str] = field(default_factory=dict)


@transaction.atomic
def hand_over(
    build: Build, handing: Handing, *, token: UUID, expected: str, by: User, now: datetime
) -> Move:
    """Account for what came along and end the build as collected, or change nothing at all.

    :raises builds.gates.actions.Refused: something is still missing.
    """
    locked(build.pk)
    if not Move.objects.filter(token=token).exists():
        account_for_all(build, handing.back, handing.stays, by, now)
    return gates.end(
        build.pk,
        State.COLLECTED,
        token=token,
        expected=expected,
        reason=reason_of(handing, build.item.order.customer),
        by=by,
        now=now,
    )


def reason_of(handing: Handing, customer: Customer) -> str:
    """What history keeps. The customer's own name stays out of it, so that it can be forgotten."""
    own = {customer.called.casefold(), customer.full_name.casefold()}
    is_own = handing.who.strip().casefold() in own
    parts = [
        _("by the customer") if is_own else _("by %s") % handing.who.strip(),
        _("signed on paper") if handing.signed else "",
        handing.note.strip(),
    ]
    return "; ".join(part for part in parts if part)


def account_for_all(
    build: Build, back: Iterable[int], stays: Mapping[int, str], by: User, now: datetime
) -> None:
    """Tick what goes back, and write down why the rest stays."""
    given = set(back)
    for thing in Belonging.objects.filter(build=build, returned_at=None, kept_because=""):
        why = stays.get(thing.pk, "").strip()
        if thing.pk in given or why:
            kept = "" if thing.pk in given else why
            account_for(thing, kept_because=kept, by=by, now=now)
