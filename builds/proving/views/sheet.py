"""A build's bench test: begun, read line by line, put right, let by."""

from collections.abc import Callable

from django.forms import BaseForm
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from builds.progress.models import Build
from builds.proving import actions
from builds.proving.forms import BeginForm, InstrumentForm, LetForm, ReadingForm, ReworkForm
from builds.proving.models import Reading, RunLine
from builds.proving.queries.page import instruments, sheet_page
from builds.proving.queries.paper import sheet_pdf
from builds.proving.refusals import LinesRefused, Refused
from builds.proving.states import Verdict
from builds.proving.views.show import asked, build_of, show
from shop.clock import now
from shop.house.queries import house
from shop.web.access import owner_only, staff
from shop.web.partials import done, refused


def here(build: Build, line: int = 0) -> str:
    """The address of the page, at a line of it."""
    url = reverse("proving_sheet", args=[build.number])
    return f"{url}?at={line}#line-{line}" if line else url


def line_of(build: Build, line_id: int) -> RunLine:
    """A line of a run of this build, or 404."""
    return get_object_or_404(RunLine, pk=line_id, run__build=build)


def save(
    request: HttpRequest, build: Build, name: str, form: BaseForm, deed: Callable[[], HttpResponse]
) -> HttpResponse:
    """Do a deed with a form's values; what is refused comes back with all that was typed."""
    if form.is_valid():
        try:
            return deed()
        except LinesRefused as error:
            form.add_error(None, str(error))
        except Refused as error:
            return refused(request, here(build), str(error))
    return show(request, build, {name: form}, 422)


@require_safe
def sheet(request: HttpRequest, number: int) -> HttpResponse:
    """The sheet of one build."""
    return show(request, build_of(number))


@require_POST
def begin(request: HttpRequest, number: int) -> HttpResponse:
    """Begin the sheet, or begin it anew."""
    build, form = build_of(number), BeginForm(request.POST)
    if not form.is_valid():
        return refused(request, here(build), _("That page was out of date. Look at it anew."))
    try:
        run = actions.begin_run(build.pk, **form.cleaned_data, by=staff(request), now=now())
    except Refused as error:
        return refused(request, here(build), str(error))
    return done(request, here(build), _("Run %d is begun.") % run.number)


@require_POST
def read(request: HttpRequest, number: int, line_id: int) -> HttpResponse:
    """Keep a reading of one line, and go on to the next."""
    build = build_of(number)
    line = line_of(build, line_id)
    form = ReadingForm(request.POST, line=line, instruments=instruments())

    def deed() -> HttpResponse:
        values, by = form.cleaned_data, staff(request)
        kept = actions.keep_readings(
            build.pk, values["run"], [form.entry], token=values["token"], by=by, now=now()
        )
        to = line.pk if kept.failed else _next(build, line)
        return done(request, here(build, to), _said(line, kept.readings, kept.before))

    return save(request, build, f"read-{line.pk}", form, deed)


def _next(build: Build, line: RunLine) -> int:
    """The next line that wants a reading, past this one; else the first that does."""
    rows = [row for row in sheet_page(build, now()).rows if row.may_read]
    after = [row for row in rows if row.line.position > line.position]
    found = next(iter(after or rows), None)
    return found.line.pk if found else line.pk


def _said(line: RunLine, kept: tuple[Reading, ...], before: tuple[Reading, ...]) -> str:
    words = [_verdict(line, reading) for reading in kept]
    for first in before:
        facts = {"who": first.by.name, "typed": first.as_typed}
        words.append(_("%(who)s read it first: %(typed)s. Both are kept.") % facts)
    return " ".join(words)


def _verdict(line: RunLine, reading: Reading) -> str:
    facts = {"test": line.name, "typed": reading.as_typed}
    if reading.verdict == Verdict.FAIL:
        return _("%(test)s failed: %(typed)s.") % facts
    if reading.verdict == Verdict.TELL:
        return _("%(test)s passed, %(typed)s: tell the customer.") % facts
    return _("%(test)s passed: %(typed)s.") % facts


@require_POST
def put_right(request: HttpRequest, number: int, reading_id: int) -> HttpResponse:
    """Say what was done about a reading that failed."""
    build = build_of(number)
    reading = get_object_or_404(Reading, pk=reading_id, line__run__build=build)
    form = ReworkForm(request.POST, reading=reading.pk)

    def deed() -> HttpResponse:
        actions.put_right(build.pk, reading.pk, **form.cleaned_data, by=staff(request), now=now())
        return done(request, here(build, reading.line_id), _("Kept. Now test it again."))

    return save(request, build, f"rework-{reading.line_id}", form, deed)


@owner_only
@require_POST
def let(request: HttpRequest, number: int) -> HttpResponse:
    """Let a line by, with a reason."""
    build = build_of(number)
    shown = sheet_page(build, now())
    if shown.found is None:
        raise Http404
    form = LetForm(request.POST, lines=[row.line for row in shown.rows])

    def deed() -> HttpResponse:
        values = form.cleaned_data
        actions.let_line_by(
            build.pk, values["run"], values["line"], reason=values["reason"], by=staff(request),
            now=now(),
        )  # fmt: skip
        return done(request, here(build), _("It is let by, and the reason stays on the sheet."))

    return save(request, build, "let", form, deed)


@require_POST
def instrument(request: HttpRequest, number: int) -> HttpResponse:
    """Name an instrument, right where it is wanted."""
    build, form = build_of(number), InstrumentForm(request.POST)

    def deed() -> HttpResponse:
        found = actions.add_instrument(form.cleaned_data["name"], by=staff(request), now=now())
        return done(request, here(build), _("%s can be chosen now.") % found.name)

    return save(request, build, "instrument", form, deed)


@require_safe
def paper(request: HttpRequest, number: int) -> HttpResponse:
    """A run of the sheet as PDF."""
    build = build_of(number)
    shown = sheet_page(build, now(), asked(request, "run"))
    if shown.found is None:
        raise Http404
    answer = HttpResponse(sheet_pdf(build, shown.found, house()), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="bench-test-{build}.pdf"'
    return answer
