"""Settings: the shop's bench test sheet, its instruments; and the first-pass rate."""

from datetime import timedelta

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from builds.proving import actions
from builds.proving.forms import InstrumentForm, LineForm
from builds.proving.models import Instrument, SheetLine
from builds.proving.queries.page import instruments, limit_words
from builds.proving.queries.rate import first_pass
from builds.proving.refusals import Refused
from shop.clock import now
from shop.web.access import owner_only, staff
from shop.web.partials import done, page, refused

HERE = "proving_template"
PARTS = {"section": "proving/_template.html"}
PERIODS = {30: gettext_lazy("30 days"), 90: gettext_lazy("90 days"), 365: gettext_lazy("a year")}


def _frame(request: HttpRequest, template: str, status: int = 200, **more: object) -> HttpResponse:
    return page(request, template, {"room": "settings", "here": HERE, **more}, PARTS, status)


def _sheet(
    request: HttpRequest, status: int = 200, form: forms.BaseForm | None = None
) -> HttpResponse:
    lines = list(SheetLine.objects.all())
    return _frame(
        request, "proving/template.html", status,
        lines=[(line, _limit(line)) for line in lines if not line.retired],
        retired=[line for line in lines if line.retired],
        instruments=instruments(), instrument=form or InstrumentForm(),
    )  # fmt: skip


def _limit(line: SheetLine) -> str:
    is_open = line.low is line.high is line.times is None
    return "" if line.reckons and is_open else limit_words(line)


@owner_only
@require_safe
def template(request: HttpRequest) -> HttpResponse:
    """The sheet, test by test, in its order."""
    return _sheet(request)


@owner_only
@require_POST
def fill(request: HttpRequest) -> HttpResponse:
    """Begin from the usual sheet."""
    count = actions.fill_sheet(by=staff(request), now=now())
    said = _("%d tests written down; they are yours from now on.") % count if count else ""
    return done(request, reverse(HERE), said)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def add(request: HttpRequest) -> HttpResponse:
    """One more test."""
    form = LineForm(request.POST or None)
    if form.is_valid():
        actions.add_line(form.cleaned_data, by=staff(request), now=now())
        return done(request, reverse(HERE), _("The test is asked from the next run on."))
    title = _("One more test")
    return _frame(request, "proving/template_line.html", _status(form), form=form, title=title)


@owner_only
@require_http_methods(["GET", "HEAD", "POST"])
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """One test: its words, its limits, whom it is for."""
    line = get_object_or_404(SheetLine, pk=pk)
    title, mark = line.name, line.get_mark_display()
    form = LineForm(request.POST or None, instance=line)
    if form.is_valid():
        actions.change_line(pk, form.cleaned_data, by=staff(request), now=now())
        return done(request, reverse(HERE), _("Saved. Runs that have begun keep theirs."))
    return _frame(
        request, "proving/template_line.html", _status(form), form=form, title=title, line=line,
        mark=mark,
    )  # fmt: skip


def _status(form: forms.BaseForm) -> int:
    return 422 if form.errors else 200


@owner_only
@require_POST
def retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask a test no more, or again."""
    get_object_or_404(SheetLine, pk=pk)
    is_retired = "back" not in request.POST
    try:
        actions.retire_line(pk, is_retired, by=staff(request), now=now())
    except Refused as error:
        return refused(request, reverse(HERE), str(error))
    said = _("It is asked no more.") if is_retired else _("It is asked again.")
    return done(request, reverse(HERE), said)


@owner_only
@require_POST
def move(request: HttpRequest, pk: int) -> HttpResponse:
    """One place up or down."""
    get_object_or_404(SheetLine, pk=pk)
    actions.move_line(pk, "earlier" in request.POST, by=staff(request), now=now())
    return done(request, reverse(HERE))


@owner_only
@require_POST
def add_instrument(request: HttpRequest) -> HttpResponse:
    """Name an instrument."""
    form = InstrumentForm(request.POST)
    if not form.is_valid():
        return _sheet(request, 422, form)
    named = form.cleaned_data
    actions.add_instrument(
        named["name"], by=staff(request), now=now(), checked_on=named["checked_on"]
    )
    return done(request, reverse(HERE))


@owner_only
@require_POST
def retire_instrument(request: HttpRequest, pk: int) -> HttpResponse:
    """Offer an instrument no more."""
    get_object_or_404(Instrument, pk=pk)
    actions.retire_instrument(pk, by=staff(request), now=now())
    return done(request, reverse(HERE))


@owner_only
@require_safe
def rate(request: HttpRequest) -> HttpResponse:
    """The first-pass rate over a time, and what the others failed by."""
    asked = request.GET.get("days", "")
    days = next((each for each in PERIODS if str(each) == asked), 90)
    moment = now()
    found = first_pass(moment - timedelta(days=days), moment + timedelta(seconds=1))
    periods = [(each, words, each == days) for each, words in PERIODS.items()]
    return _frame(request, "proving/rate.html", found=found, periods=periods, words=PERIODS[days])
