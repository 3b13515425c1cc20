"""Takes an import for working on: a lease, so that a worker that dies leaves it to another."""

from datetime import datetime, timedelta

from django.db.models import F, Q, QuerySet
from django.utils.translation import gettext as _

from builds.importing.actions.begun import move_to
from builds.importing.models import Import
from builds.importing.states import AT_WORK, OPEN, State
from shop.clock import ago

LEASE = timedelta(minutes=6)  # longer than the task may run
GRACE = timedelta(seconds=45)
MOST_TRIES = 3
KEPT_FOR = timedelta(days=30)


def claim(import_id: int, state: str, now: datetime) -> Import | None:
    """The import, if it waits for this work and nobody else has it."""
    free = Q(claimed_at=None) | ago("claimed_at", LEASE, now)
    rows = Import.objects.filter(free, pk=import_id, state=state, tries__lt=MOST_TRIES)
    if rows.update(claimed_at=now, tries=F("tries") + 1) != 1:
        return None
    return Import.objects.select_related("blob", "kept_by", "undone_by").get(pk=import_id)


def still(one: Import) -> Import | None:
    """The import as it stands, locked, if it is still this worker's; else None."""
    fresh = Import.objects.select_for_update(of=("self",)).get(pk=one.pk)
    mine = (fresh.state, fresh.claimed_at) == (one.state, one.claimed_at)
    return fresh if mine else None


def waiting(now: datetime) -> list[int]:
    """Imports that no wake-up took up, and those that a dead worker left."""
    free = Q(claimed_at=None) & ago("state_since", GRACE, now) | ago("claimed_at", LEASE, now)
    rows = Import.objects.filter(free, state__in=AT_WORK, tries__lt=MOST_TRIES)
    return list(rows.order_by("pk").values_list("pk", flat=True))


def give_up_the_worn_out(now: datetime) -> None:
    """Put back what failed each time; its page says so, and nothing was kept of it."""
    back = {
        State.CHECKING: State.MATCHING,
        State.KEEPING: State.CHECKED,
        State.UNDOING: State.KEPT,
    }
    for one in _worn_out(now):
        one.problem = _(
            "This failed each time it was tried, and nothing was changed. The log says why."
        )
        move_to(one, back[State(one.state)], now)


def _worn_out(now: datetime) -> QuerySet[Import]:
    over = Q(claimed_at=None) | ago("claimed_at", LEASE, now)
    return Import.objects.filter(over, state__in=AT_WORK, tries__gte=MOST_TRIES)


def forgotten(now: datetime) -> list[int]:
    """Sheets that nobody went on with for a month: their files hold people's addresses."""
    rows = Import.objects.filter(ago("state_since", KEPT_FOR, now), state__in=OPEN)
    return list(rows.exclude(state=State.CHECKING).values_list("pk", flat=True))
