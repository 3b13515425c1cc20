"""A build that waits for a part which the stores lack."""

from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import held
from builds.fitting.models import BuildPart
from builds.fitting.queries.parts_page import on_the_way
from builds.fitting.refusals import Refused
from builds.progress.actions import hold, next_asking
from builds.progress.models import Hold
from builds.progress.states import HoldReason, State, Turn, is_earlier
from shop.people.models import User


@transaction.atomic
def wait_for(build_part: BuildPart, *, by: User, now: datetime) -> Hold:
    """Put a build on hold for a part, tied to the purchase order that brings it. Twice is once.

    Until it is to go in, work goes on: the hold stops the build before install or, there, before
    the test.
    """
    found = held(build_part.pk)
    if found.part is None:
        raise Refused(_("It is the customer's own part; hold the build for it on its sheet."))
    before = State.INSTALL if is_earlier(found.build.state, State.INSTALL) else State.TEST
    fields: dict[str, object] = {
        "reason": HoldReason.PARTS,
        "turn": Turn.SUPPLIER,
        "words": found.part.name,
        "before": before if is_earlier(found.build.state, before) else "",
        "chase_on": next_asking(0, now),
        "line": on_the_way([found.part_id]).get(found.part.pk),
    }
    return hold(found.build_id, fields=fields, by=by, now=now)
