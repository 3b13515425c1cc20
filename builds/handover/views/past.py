"""What was done on a hilt before, and starting a build from it."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.handover.actions.start_from import start_from
from builds.handover.forms.start import StartForm
from builds.handover.queries.before import leaves_its_cell_out, past_of
from builds.handover.refusals import Refused
from builds.handover.states import Start
from builds.hilts.models import Hilt
from builds.progress.models import Build
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page, refused


@require_safe
def past(request: HttpRequest, pk: int) -> HttpResponse:
    """Every build of a hilt: what was fitted, measured, found, promised, and what came back."""
    hilt = get_object_or_404(Hilt.objects.select_related("customer"), pk=pk)
    shown = {"room": "bench", "hilt": hilt, "past": past_of(hilt)}
    return page(request, "handover/past.html", shown)


@require_POST
def start(request: HttpRequest, number: int) -> HttpResponse:
    """Start a build from an earlier one of its hilt."""
    build = get_object_or_404(Build, number=number)
    back, form = reverse("bench_sheet", args=[number]) + "#before", StartForm(request.POST)
    if not form.is_valid():
        why = " ".join(str(said) for each in form.errors.values() for said in each)
        return refused(request, back, why)
    source, how = form.cleaned_data["source"], form.cleaned_data["how"]
    try:
        start_from(build.pk, source, how, by=staff(request), now=now())
    except Refused as error:
        return refused(request, back, str(error))
    said = _("Taken over. Look through its lists: nothing was overwritten.")
    if how == Start.STAYS and leaves_its_cell_out(build):
        said = _("Taken over without its cell, which is damaged: list the one that goes in.")
    return done(request, back, said)
