"""Tell the customers: one list with ticks, one tap."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from builds.bench.actions.telling import Outcome, tell_all
from builds.bench.queries.telling import Telling, tellings, text_of
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import done, page, refused


@require_http_methods(["GET", "HEAD", "POST"])
def tell_many(request: HttpRequest) -> HttpResponse:
    """Who would be told what, one message to read; the tap tells all that are ticked."""
    moment = now()
    house = request.house  # type: ignore[attr-defined]
    found = tellings(calendar(house), moment)
    if request.method == "POST":
        ticked = set(request.POST.getlist("who"))
        return _told(request, [one for one in found if one.code in ticked], bool(ticked))
    asked = request.GET.get("read", "")
    shown = next((one for one in found if one.code == asked), next(iter(found), None))
    context = {
        "room": "dispatch",
        "found": found,
        "shown": shown,
        "text": text_of(shown, house) if shown else None,
        "can": any(not one.no_mail for one in found),
    }
    return page(request, "bench/tell_many.html", context, {"letter": "bench/tell/_letter.html"})


def _told(request: HttpRequest, chosen: list[Telling], is_any: bool) -> HttpResponse:
    if not is_any:
        return refused(request, reverse("bench_tell_many"), _("Tick whom to tell."))
    outcome = tell_all(
        chosen,
        shop=request.house,  # type: ignore[attr-defined]
        by=staff(request),
        now=now(),
    )
    if outcome.refused:
        return refused(request, reverse("bench_tell_many"), _wrong(outcome))
    return done(request, reverse("bench_dispatch"), _said(outcome))


def _said(outcome: Outcome) -> str:
    count = len(outcome.told)
    if not count:
        return _("They have been told already.")
    return ngettext("%d message is on its way.", "%d messages are on their way.", count) % count


def _wrong(outcome: Outcome) -> str:
    wrong = [
        _("%(who)s was not told: %(why)s") % {"who": one.who.called, "why": why}
        for one, why in outcome.refused
    ]
    return " ".join([_said(outcome), *wrong] if outcome.told else wrong)
