"""How a build leaves: by post or in person, as was agreed anew; or unfinished, with a reason."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from builds.bench.actions.ending import end_unfinished
from builds.bench.forms.ending import end_form
from builds.bench.views.sheet import REFUSALS, build_of, save
from builds.gates import actions as gates
from builds.progress.states import Leaves
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import done, refused


@require_POST
def end(request: HttpRequest, number: int) -> HttpResponse:
    """End the build unfinished, with a reason; what goes back is ticked in the same form."""
    build = build_of(number)
    form = end_form(build, request.POST)

    def deed(values: dict[str, Any]) -> None:
        gives = form.goes_back(values)
        try:
            end_unfinished(
                build,
                values["ending"],
                goes=values.get("goes", "") if gives else "",
                back=form.back() if gives else (),
                stays=form.stays() if gives else {},
                token=values["token"],
                expected=values["expected"],
                reason=values["reason"],
                by=staff(request),
                now=now(),
            )
        except gates.GateClosed as error:
            form.lacks = error.missing
            raise

    return save(request, build, "end", form, deed, "gate", _("It has ended."))


@require_POST
def leaves(request: HttpRequest, number: int) -> HttpResponse:
    """Agree anew whether it goes by post or is collected."""
    build, way = build_of(number), request.POST.get("way", "")
    back = reverse("bench_sheet", args=[number]) + "#collect"
    if way not in Leaves.values:
        return refused(request, back, _("This page is out of date. Look at it anew."))
    try:
        gates.leave_by(build.pk, way, by=staff(request), now=now())
    except REFUSALS as error:
        return refused(request, back, str(error))
    said = _("It goes by post now.") if way == Leaves.POST else _("It is collected in person now.")
    return done(request, back, said)
