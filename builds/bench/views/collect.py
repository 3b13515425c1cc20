"""Hand a finished build over in person."""

from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.bench.actions.collect import hand_over
from builds.bench.forms.collect import CollectForm
from builds.bench.queries.collect import owed, still_missing
from builds.bench.views.sheet import REFUSALS, build_of
from builds.progress.models import Build, Move
from builds.progress.states import Leaves, State
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, page, refused


@require_http_methods(["GET", "HEAD", "POST"])
def collect(request: HttpRequest, number: int) -> HttpResponse:
    """Everything at the counter on one page: what goes back, who takes it, the signature."""
    build = build_of(number)
    sheet = reverse("bench_sheet", args=[number])
    if request.method == "POST" and _was_done(request):
        return done(request, sheet, _said(build))
    if build.state != State.DISPATCH or build.leaves_by != Leaves.COLLECTION:
        return refused(request, sheet, _("This build does not wait to be collected."))
    things = owed(build)
    if request.method != "POST":
        form = CollectForm(things=things, initial={"token": uuid4(), "expected": build.state})
        return _show(request, build, form)
    form = CollectForm(request.POST, things=things)
    if form.is_valid() and _hand_over(request, build, form):
        return done(request, sheet, _said(build))
    return _show(request, build, form, 422)


def _was_done(request: HttpRequest) -> bool:
    # The second of two taps is asked first: the build has ended by the first.
    form = CollectForm(request.POST, things=())
    form.is_valid()
    token = form.cleaned_data.get("token")
    return token is not None and Move.objects.filter(token=token).exists()


def _hand_over(request: HttpRequest, build: Build, form: CollectForm) -> bool:
    values = form.cleaned_data
    try:
        hand_over(
            build,
            form.handing(),
            token=values["token"],
            expected=values["expected"],
            by=staff(request),
            now=now(),
        )
    except REFUSALS as error:
        form.add_error(None, str(error))
        return False
    return True


def _said(build: Build) -> str:
    return _("%s is handed over.") % (build.hilt or build)


def _show(request: HttpRequest, build: Build, form: CollectForm, status: int = 200) -> HttpResponse:
    context = {
        "room": "bench",
        "build": build,
        "customer": build.item.order.customer,
        "form": form,
        "pairs": form.pairs(),
        "missing": still_missing(build),
    }
    return page(request, "bench/collect.html", context, status=status)
