"""Settings: the rules of the line and its dates."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.queue.actions.rules import change_rules
from builds.queue.forms.rules import RulesForm
from builds.queue.queries.limits import stage_limits
from builds.queue.views.dates import refresh
from shop.clock import now
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done, page


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def rules(request: HttpRequest) -> HttpResponse:
    """How much is under way at once, how sure a promise must be, who sees the odds."""
    form = RulesForm(request.POST or None, house=house(), limits=stage_limits())
    if form.is_valid():
        data = form.cleaned_data
        change_rules(
            most_opened=data["most_opened"],
            least_odds_percent=data["least_odds_percent"],
            shows_odds=data["shows_odds"],
            limits=form.limits,
            by=staff(request),
            now=now(),
        )
        refresh()
        return done(request, reverse("queue_rules"), _("Saved."))
    context = {"room": "settings", "here": "queue_rules", "form": form}
    return page(request, "queue/rules.html", context, status=422 if form.errors else 200)
