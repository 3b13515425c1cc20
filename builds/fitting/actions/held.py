"""What the deeds of this room share: the locked build that is still open, and one of its parts."""

from datetime import datetime
from uuid import UUID, uuid5

from django.utils.translation import gettext as _

from builds.fitting.models import BuildPart
from builds.fitting.refusals import Overtaken, Refused
from builds.fitting.states import PartState
from builds.progress.models import Build
from builds.progress.queries import locked
from shop.people.models import User
from shop.stores.actions import stock
from shop.stores.kinds import PartKind
from shop.stores.models import StockRow


def open_build(build_id: int) -> Build:
    """A build under its lock.

    :raises Refused: it has ended, and what was fitted stays as it was written.
    """
    build = locked(build_id)
    if not build.is_open:
        raise Refused(_("This build has ended. What was fitted stays as it was written."))
    return build


def held(part_id: int) -> BuildPart:
    """A part of an open build, under the build's lock: all its parts change one at a time.

    :raises Overtaken: it is off the list already.
    """
    owner = BuildPart.objects.values_list("build", flat=True).get(pk=part_id)
    open_build(owner)
    found = BuildPart.objects.select_related(
        "part", "belonging", "reservation", "build__hilt", "section", "fitted_by"
    ).get(pk=part_id)
    if found.ended_at:
        raise Overtaken(_("%s is off the list already. Nothing was changed.") % found.name)
    return found


def whose(build: Build) -> str:
    """A build as the stock ledger names it: its number and its hilt."""
    return f"{build} {build.hilt.name if build.hilt else ''}".strip()[:40]


def own(token: UUID, deed: str) -> UUID:
    """A token for one of the stock deeds that a deed of ours consists of."""
    return uuid5(token, deed)


def ask_new(token: UUID) -> None:
    """See to it that a stock deed is not done yet: a repeated tap was answered before this.

    A page kept open while somebody took the deed back would else change our row alone.

    :raises Refused: the token was spent.
    """
    if StockRow.objects.filter(token=token).exists():
        raise Refused(_("This page is out of date. Open it anew and tap again."))


def let_go(found: BuildPart, token: UUID, why: str, by: User, now: datetime) -> None:
    """Free what is reserved for a part; nothing where nothing is."""
    if found.state == PartState.RESERVED and found.reservation:
        stock.release(found.reservation, token=own(token, "release"), by=by, now=now, reason=why)


def end(found: BuildPart, because: str, now: datetime) -> None:
    """Take a part off the list; what lay on it lies on nothing."""
    found.carries.filter(ended_at=None).update(lies_on=None)
    found.ended_at, found.ended_because = now, because.strip()[:200]
    found.save(update_fields=["ended_at", "ended_because"])


def goes_home_inside(found: BuildPart) -> bool:
    """Whether a part leaves in its hilt; a blade leaves beside it, in the box."""
    return found.kind != PartKind.BLADE
