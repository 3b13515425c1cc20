"""The blade of a build: which of the customer's it is about, or goes home with."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.bench.views.sheet import build_of
from builds.hilts.models import Blade
from builds.progress.actions import Refused, tie_blade
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused

_DIGITS = 9


@require_POST
def tie(request: HttpRequest, number: int) -> HttpResponse:
    """Say which blade a build is about, or goes home with; none is said by nothing."""
    build, here = build_of(number), reverse("bench_sheet", args=[number]) + "#blade"
    chosen = _key(request.POST.get("blade", ""))
    found = Blade.objects.filter(pk=chosen or 0).first()
    if request.POST.get("blade") and found is None:
        return refused(request, here, _("Choose one of the blades."))
    seen = _key(request.POST.get("seen", ""))
    try:
        tie_blade(build.pk, found, seen=seen, by=staff(request), now=now())
    except Refused as error:
        return refused(request, here, str(error))
    return done(request, here, _("Its blade is kept."))


def _key(text: str) -> int | None:
    return int(text[:_DIGITS]) if text.isdecimal() else None
