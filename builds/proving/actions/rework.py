"""Says what was done about a reading that failed; the re-test is tied to it."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.progress.actions import locked
from builds.progress.states import STAGES
from builds.proving.models import Reading, Rework
from builds.proving.refusals import Refused
from builds.proving.states import Verdict
from shop.history.actions import record
from shop.people.models import User

MOST_MINUTES = 6000


@transaction.atomic
def put_right(
    build_id: int, reading_id: int, *, found_in: str, caused_in: str, cause: str, minutes: int,
    token: UUID, by: User, now: datetime,
) -> Rework:  # fmt: skip
    """Write down where a fail was found and caused, why, and how long it took to put right.

    :raises Refused: it did not fail, somebody wrote it down first, or the cause is missing.
    """
    build = locked(build_id)
    if done := Rework.objects.filter(token=token).first():
        return done
    failed = Reading.objects.filter(pk=reading_id, line__run__build=build).first()
    if failed is None or failed.verdict != Verdict.FAIL:
        raise Refused(_("There is nothing to put right here."))
    if first := Rework.objects.filter(failed=failed).select_related("by").first():
        facts = {"who": first.by.name, "cause": first.cause}
        raise Refused(_("%(who)s was first: %(cause)s. Yours was not kept.") % facts)
    if not cause.strip() or {found_in, caused_in} - set(STAGES):
        raise Refused(_("Say what caused it, and in which stage."))
    if not 0 <= minutes <= MOST_MINUTES:
        raise Refused(_("That many minutes cannot be. Look at them again."))
    cause = cause.strip()[:200]
    made = Rework.objects.create(
        token=token,
        build=build,
        failed=failed,
        cause=cause,
        by=by,
        at=now,
        found_in=found_in,
        caused_in=caused_in,
        minutes=minutes,
    )
    record("proof_reworked", build.about, by, now, cause=cause, caused_in=caused_in,
           minutes=minutes)  # fmt: skip
    return made
