"""Lets a line by: the owner alone, with a reason, and never one that nobody may pass."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.proving.actions.held import in_test, present
from builds.proving.models import LineLetBy, Timer
from builds.proving.refusals import Refused
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def let_line_by(
    build_id: int, run_id: int, line_id: int, *, reason: str, by: User, now: datetime
) -> LineLetBy:
    """Let a line of the newest run by. Twice is once.

    :raises Refused: not the owner, no reason, nothing to let by, or nobody may pass it.
    """
    build = in_test(build_id)
    if not by.is_owner:
        raise Refused(_("Only the owner can let a test by."))
    if not reason.strip():
        raise Refused(_("Write down why it may pass; it stays on the sheet."))
    each = next((row for row in present(build, run_id).lines if row.line.pk == line_id), None)
    if each is None or each.is_passed:
        raise Refused(_("There is nothing to let by here any more."))
    if each.line.never_pass:
        raise Refused(_("Nobody can pass this one: %s") % each.line.name)
    if each.let_by:
        return each.let_by
    made = LineLetBy.objects.create(line=each.line, reason=reason.strip()[:200], by=by, at=now)
    # Nothing of it counts any more: what runs of it runs no longer.
    Timer.objects.filter(build=build, what=each.line.code, stopped_at=None).update(stopped_at=now)
    record("proof_let_by", build.about, by, now, test=each.line.name, reason=made.reason)
    return made
