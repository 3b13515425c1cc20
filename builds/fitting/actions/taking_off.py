"""Parts that come off the list or out of the hilt again, whole or dead."""

from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.fitting.actions.held import end, goes_home_inside, held, let_go, own, whose
from builds.fitting.models import BuildPart
from builds.fitting.refusals import Refused
from builds.fitting.states import PartState
from builds.intake.actions import not_yet_accounted
from shop.history.actions import record
from shop.people.models import User
from shop.stores.actions import stock


@transaction.atomic
def take_off(
    build_part: BuildPart,
    because: str,
    *,
    whole: int | None = None,
    token: UUID,
    by: User,
    now: datetime,
) -> BuildPart:
    """Take a part off the list, or out of the hilt. Twice is once.

    :param whole: of what was fitted, how many go back into the stores; all, where nobody says.
    :raises Refused: a fitted part comes out without a reason, or more goes back than came out.
    """
    build_part.refresh_from_db()
    if build_part.ended_at:
        return build_part
    found = held(build_part.pk)
    if found.state == PartState.FITTED:
        _bring_out(found, because, whole, token, by, now)
    let_go(found, token, because, by, now)
    end(found, because, now)
    record("part_off", found.build.about, by, now, part=found.name, because=found.ended_because)
    return found


def _bring_out(
    found: BuildPart, because: str, whole: int | None, token: UUID, by: User, now: datetime
) -> None:
    if not because.strip():
        raise Refused(_("Say why it comes out; it stays in the history."))
    back = found.quantity if whole is None else whole
    if not 0 <= back <= found.quantity:
        raise Refused(_("No more than %d came out of the hilt.") % found.quantity)
    if found.part and back:
        stock.put_back(
            found.part, back, about=found.build.about, whose=whose(found.build),
            token=own(token, "back"), by=by, now=now, reason=because.strip(),
        )  # fmt: skip
    if found.belonging and goes_home_inside(found):
        not_yet_accounted(found.belonging, by=by, now=now)
