"""The booklet of a build: made, opened, shown to the customer, taken back."""

from collections.abc import Callable

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.handover.actions.booklets import make_booklet, publish_booklet, take_booklet_back
from builds.handover.forms.booklets import MakeForm, PublishForm
from builds.handover.models import Booklet
from builds.handover.queries.booklet_paper import booklet_file
from builds.handover.refusals import Refused
from builds.handover.views.show import build_of
from builds.progress.models import Build
from shop.clock import now
from shop.house.queries import house
from shop.web.access import staff
from shop.web.partials import done, refused


@require_POST
def make(request: HttpRequest, number: int) -> HttpResponse:
    """Set it anew, in both sizes of type."""
    build, form = build_of(number), MakeForm(request.POST)

    def deed() -> None:
        token = form.cleaned_data["token"]
        make_booklet(build, house(), token=token, by=staff(request), now=now())

    return _do(request, build, form, deed, _("The booklet is made, in both sizes. Look at it."))


@require_POST
def publish(request: HttpRequest, number: int) -> HttpResponse:
    """Show the newest to the customer."""
    build, form = build_of(number), PublishForm(request.POST)

    def deed() -> None:
        seen = form.cleaned_data["seen"]
        publish_booklet(build.pk, house(), seen=seen, by=staff(request), now=now())

    return _do(request, build, form, deed, _("The booklet is published."))


@require_POST
def take_back(request: HttpRequest, number: int) -> HttpResponse:
    """Show the customer none any more."""
    build = build_of(number)

    def deed() -> None:
        take_booklet_back(build.pk, by=staff(request), now=now())

    return _do(request, build, None, deed, _("The booklet is taken back."))


def _do(
    request: HttpRequest,
    build: Build,
    form: BaseForm | None,
    deed: Callable[[], None],
    said: str,
) -> HttpResponse:
    here = reverse("handover_build", args=[build.number]) + "#booklet"
    if form is not None and not form.is_valid():
        return refused(request, here, _("The page was old. Look at it again."))
    try:
        deed()
    except Refused as error:
        return refused(request, here, str(error))
    return done(request, here, said)


@require_safe
def booklet(request: HttpRequest, number: int, booklet_id: int) -> HttpResponse:
    """One that was made, as PDF in the browser; where its file is gone, the page says so."""
    build = build_of(number)
    made = get_object_or_404(Booklet.objects.select_related("blob"), pk=booklet_id, build=build)
    answer = booklet_file(made, str(build))
    if answer is None:
        here = reverse("handover_build", args=[number]) + "#booklet"
        return refused(request, here, _("The file of this booklet is gone. Make it anew."))
    return answer
