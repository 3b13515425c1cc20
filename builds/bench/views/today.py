"""Today: what wants you now, in order."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.bench.queries.backups import backup_wants
from builds.bench.queries.board import rows_to_draw
from builds.bench.queries.today import leaving_next, ready, wants
from builds.bench.queries.working import timers
from shop.clock import now
from shop.diary.queries import calendar
from shop.house.queries import house
from shop.web.access import staff
from shop.web.drawn import drawn_while_unchanged
from shop.web.machine import lacks
from shop.web.partials import page


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """What wants the shop, and the next dispatch day's count."""
    moment = now()
    drawn = drawn_while_unchanged(
        request, "bench/_today.html", moment, lambda: _today(request, moment)
    )
    context = {"room": "today", "drawn": drawn, "lacks": lacks(moment)}
    return page(request, "bench/today.html", context)


def _today(request: HttpRequest, moment: datetime) -> dict[str, Any]:
    shop = house()  # anew: what is drawn may outlive this look
    diary = calendar(shop)
    found = rows_to_draw(diary, moment)
    kept = backup_wants(moment, bool(found)) if staff(request).is_owner else []
    return {
        "wants": [*kept, *wants(found, diary, moment)],
        "ready": ready(found),
        "leaving": leaving_next(found, diary, moment),
        "open_count": len(found),
        "timers": timers(staff(request), diary, moment),
        "moment": moment,
        "house": shop,
    }
