"""The dispatch day, by the scanner: a tag ticks its parcel off."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.bench.forms.dispatch import ScanForm
from builds.bench.queries.scanned import Scanned, scanned
from builds.bench.views.dispatch import REFUSALS, chosen_day
from builds.dispatch.models import Parcel
from builds.gates import actions as gates
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import done, refused


@require_POST
def scan(request: HttpRequest) -> HttpResponse:
    """Tick off the parcel of the build whose tag was scanned; the field stands ready again."""
    moment = now()
    diary = calendar(request.house)  # type: ignore[attr-defined]
    day = chosen_day(request.POST, diary, moment)
    back = f"{reverse('bench_dispatch')}?day={day.isoformat()}&scan=on"
    form = ScanForm(request.POST)
    if not form.is_valid():
        return refused(request, back, _("Scan a tag, or type a build’s number."))
    found = scanned(form.cleaned_data["scanned"], day, diary, moment)
    why = found.why or _leave(request, found)
    if why:
        return refused(request, back, why)
    return done(request, back, _("%s has left.") % _names(found.parcel))


def _leave(request: HttpRequest, found: Scanned) -> str:
    """Let it leave; in a sentence why it does not."""
    assert found.parcel  # noqa: S101 (without one it says why)
    try:
        moved = gates.leave(found.parcel.pk, by=staff(request), now=now())
    except REFUSALS as error:
        return str(error)
    return "" if moved else _("%s left already.") % _names(found.parcel)


def _names(parcel: Parcel | None) -> str:
    packed = parcel.packed.filter(taken_out_at=None) if parcel else ()
    return ", ".join(
        f"{row.build} {row.build.hilt or ''}".strip()
        for row in packed.select_related("build__hilt")  # type: ignore[union-attr]
    )
