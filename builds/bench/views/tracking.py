"""Tracking numbers, many at once: the first tap looks, the second keeps."""

from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from builds.bench.actions.tracking import Kept, keep_numbers
from builds.bench.forms.tracking import KEEP, Pasted, PasteForm, Row, offered, understood
from builds.bench.queries.tracking import known_parcels
from builds.bench.views.dispatch import chosen_day, show_day
from builds.dispatch.pasted import Known, Line
from shop.clock import now
from shop.diary.queries import calendar
from shop.web.access import staff
from shop.web.partials import done


@require_http_methods(["GET", "HEAD", "POST"])
def paste(request: HttpRequest) -> HttpResponse:
    """Show what was understood of pasted lines; keep it. What was not stays in the box."""
    if request.method != "POST":
        return done(request, reverse("bench_dispatch") + "#tracking")
    form = PasteForm(request.POST)
    values = form.data if not form.is_valid() else form.cleaned_data
    known = known_parcels(now())
    rows = offered(request.POST.getlist("offered"), request.POST.getlist("row"), known)
    pasted = _pasted(values.get("lines", ""), rows, known, form)
    if not form.is_valid():
        return show_day(request, request.POST, pasted, 422)
    if form.cleaned_data["step"] == KEEP:
        return _keep(request, form, rows, known)
    return show_day(request, request.POST, pasted)


def _pasted(text: str, rows: list[Row], known: list[Known], form: PasteForm) -> Pasted:
    if not form.is_valid():
        lines = [Line(line) for line in text.splitlines() if line.strip()]
        wrong = {name: str(errors[0]) for name, errors in form.errors.items()}
        return Pasted(rows, lines, form.data.get("carrier", ""), "tells" in form.data, wrong)
    shown, lines = understood(text, rows, known)
    return Pasted(shown, lines, form.cleaned_data["carrier"], form.cleaned_data["tells"])


def _keep(
    request: HttpRequest, form: PasteForm, rows: list[Row], known: list[Known]
) -> HttpResponse:
    ticked = [row for row in rows if row.is_ticked]
    kept = keep_numbers(
        [(row.parcel, row.tracking) for row in ticked],
        carrier=form.cleaned_data["carrier"],
        tells=form.cleaned_data["tells"],
        shop=request.house,  # type: ignore[attr-defined]
        by=staff(request),
        now=now(),
    )
    said = _said(kept)
    back = "\n".join(f"{known_words(row.parcel, known)} {row.tracking}"
                     for row in rows if not row.is_ticked)  # fmt: skip
    text = "\n".join(part for part in (form.cleaned_data["lines"], back) if part.strip())
    wrong = [Line(f"{known_words(p, known)} {number}", why=why) for p, number, why in kept.refused]
    shown, lines = understood(text, [], known_parcels(now()))
    if not (shown or lines or wrong):
        return done(request, f"{reverse('bench_dispatch')}?day={_day(request)}", said)
    # What is left over is shown at once: a page that is read anew could not know of it.
    messages.success(request, said)
    left_over = Pasted(
        shown, [*wrong, *lines], form.cleaned_data["carrier"], form.cleaned_data["tells"]
    )
    return show_day(request, request.POST, left_over, 422)


def known_words(parcel: int, known: list[Known]) -> str:
    """The number of the first build in a parcel, which a pasted line may name it by."""
    words = next(one.words for one in known if one.parcel == parcel)
    return words.partition(" ")[0]


def _day(request: HttpRequest) -> date:
    moment = now()
    return chosen_day(request.POST, calendar(request.house), moment)  # type: ignore[attr-defined]


def _said(kept: Kept) -> str:
    count = len(kept.parcels)
    said = ngettext("%d tracking number is kept.", "%d tracking numbers are kept.", count) % count
    told = len(kept.outcome.told)
    if told:
        said += (
            " "
            + ngettext("%d message is on its way.", "%d messages are on their way.", told) % told
        )
    for one, why in kept.outcome.refused:
        said += " " + _("%(who)s was not told: %(why)s") % {"who": one.who.called, "why": why}
    return said
