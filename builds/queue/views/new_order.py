"""What can be promised to a new order today."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.progress.states import Kind
from builds.queue.forms.trying import KindForm
from builds.queue.queries.dates import lacks
from builds.queue.queries.line import line
from builds.queue.queries.trials import offers
from builds.queue.queries.waits import lacking_at_first
from builds.queue.queries.words import AWAITED
from shop.clock import now
from shop.house.queries import house
from shop.web.partials import page


@require_safe
def new_order(request: HttpRequest) -> HttpResponse:
    """The day to promise for a kind of job, and what it would cost others to be faster."""
    form = KindForm(request.GET)
    kind = form.cleaned_data["kind"] if form.is_valid() else Kind.FULL.value
    found, shop = line(now()), house()
    missing = lacks(found.calendar)
    usual, rush = (None, None) if missing else offers(found, kind)
    context = {
        "room": "dates",
        "kinds": [(each.value, each.label) for each in Kind],
        "kind": kind,
        "label": Kind(kind).label,
        "usual": usual,
        "rush": rush,
        "lacks": missing,
        "least": shop.least_odds_percent,
        "waits": [AWAITED[cause] for cause in lacking_at_first(kind, shop)],
    }
    return page(request, "queue/new_order.html", context)
