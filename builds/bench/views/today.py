"""Today: what wants you now, in order."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.bench.queries.backups import backup_wants
from builds.bench.queries.board import open_rows
from builds.bench.queries.today import leaving_next, ready, wants
from builds.bench.queries.working import timers
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.machine import lacks
from shop.web.partials import page


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """What wants the shop, and the next dispatch day's count."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    found = open_rows(diary, moment)
    kept = backup_wants(moment, bool(found)) if staff(request).is_owner else []
    context = {
        "room": "today",
        "wants": [*kept, *wants(found, diary, moment)],
        "ready": ready(found),
        "leaving": leaving_next(found, diary, moment),
        "open_count": len(found),
        "timers": timers(staff(request), diary, moment),
        "moment": moment,
        "lacks": lacks(moment),
    }
    return page(request, "bench/today.html", context)
