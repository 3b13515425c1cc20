"""Writes a hilt down, and begins its shape from that of a like one."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.hilts.actions.measuring import Thing, whose
from builds.hilts.actions.once import locked, made_before, remember
from builds.hilts.models import Hilt, Measurement, StepLink
from builds.hilts.queries import Known, SectionShape, Shape, TakeApart, shapes, take_aparts
from builds.hilts.refusals import Refused
from builds.hilts.states import Basis
from shop.history.actions import record
from shop.people.models import Customer, User


@transaction.atomic
def add_hilt(customer: Customer, name: str, by: User, now: datetime, note: str = "") -> Hilt:
    """Write a customer's hilt down."""
    hilt = Hilt.objects.create(customer=customer, name=name, note=note, since=now)
    record("hilt_added", f"hilt:{hilt.pk}", by, now)
    return hilt


@transaction.atomic
def copy_shape(from_hilt: Hilt, to_hilt: Hilt, *, token: UUID, by: User, now: datetime) -> Hilt:
    """Begin a hilt from a like one: the same sections, every value believed until measured.

    It comes apart as the other one does, unless somebody has written its own steps down.

    :raises Refused: the hilt has sections of its own, or the other one has none.
    """
    to_hilt = locked(to_hilt.pk)
    if made_before(token):
        return to_hilt
    lent: Shape = shapes([from_hilt])[from_hilt.pk]
    if to_hilt.sections.filter(ended_at=None).exists():
        raise Refused(_("%(hilt)s has sections already.") % {"hilt": to_hilt})
    if from_hilt.pk == to_hilt.pk or not lent.sections:
        raise Refused(_("Nothing is known of %(hilt)s to begin from.") % {"hilt": from_hilt})
    for each in lent.sections:
        _Lending(from_hilt, to_hilt, by, now).section(each)
    if not to_hilt.steps.filter(ended_at=None).exists():
        _lend_steps(take_aparts([from_hilt])[from_hilt.pk], to_hilt)
    record("shape_copied", to_hilt.about, by, now, hilt=from_hilt.name)
    remember(token, to_hilt.about, by, now)
    return to_hilt


def _lend_steps(lent: TakeApart, to_hilt: Hilt) -> None:
    """The steps of a like hilt, with what comes off before what."""
    own = {
        row.step.pk: to_hilt.steps.create(
            words=row.step.words,
            how=row.step.how,
            for_owner=row.step.for_owner,
            wants_heat=row.step.wants_heat,
        )
        for row in sorted(lent.rows, key=lambda each: each.step.pk)
    }
    StepLink.objects.bulk_create(
        StepLink(step=own[row.step.pk], first=own[first])
        for row in lent.rows
        for first in sorted(row.first_ids)
    )


class _Lending:
    """Copies the things of one hilt to another, with what is known of them."""

    def __init__(self, lender: Hilt, borrower: Hilt, by: User, now: datetime) -> None:
        self.lender, self.borrower, self.by, self.now = lender, borrower, by, now

    def section(self, lent: SectionShape) -> None:
        """A section, the joint behind it and its holes."""
        like = lent.section
        section = self.borrower.sections.create(
            name=like.name,
            position=like.position,
            holds_blade=like.holds_blade,
            blade_screw=like.blade_screw,
            note=like.note,
        )
        self._believe(section, lent.known)
        if lent.joint:
            # Whether it is stuck is the other hilt's own story.
            self._believe(section.joints.create(kind=lent.joint.kind), lent.joint_known)
        for hole in lent.holes:
            self._believe(
                section.holes.create(what=hole.hole.what, note=hole.hole.note), hole.known
            )

    def _believe(self, thing: Thing, known: dict[str, Known]) -> None:
        Measurement.objects.bulk_create(
            Measurement(
                hilt=self.borrower,
                **whose(thing),
                quantity=quantity,
                value=value.value,
                tolerance=value.tolerance or None,
                as_typed=value.as_typed,
                basis=Basis.BELIEVED,
                believed_from=self.lender,
                by=self.by,
                at=self.now,
            )
            for quantity, value in known.items()
        )
