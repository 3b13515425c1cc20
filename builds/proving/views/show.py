"""Shows the page of a build's bench test, with the form that came back in its place."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from builds.progress.models import Build
from builds.progress.queries import builds
from builds.proving.forms import InstrumentForm, LetForm, ReadingForm, ReworkForm, TimerForm
from builds.proving.models import Instrument
from builds.proving.queries.page import Row, SheetPage, instruments, last_with, sheet_page
from shop.clock import now
from shop.web.access import staff
from shop.web.partials import page

PARTS = {"proof": "proving/_sheet.html", "stands": "proving/_stands.html"}


def build_of(number: int) -> Build:
    """The build of a number, or 404."""
    return get_object_or_404(builds().select_related("blade"), number=number)


def asked(request: HttpRequest, name: str) -> int:
    """A number that the address asks for, 0 for none."""
    text = request.GET.get(name, "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def show(
    request: HttpRequest, build: Build, bound: dict[str, BaseForm] | None = None, status: int = 200
) -> HttpResponse:
    """The page. ``bound``: id of a form → the one that came back with what was typed."""
    moment = now()
    shown = sheet_page(build, moment, asked(request, "run"), asked(request, "again"))
    context = {
        "room": "bench",
        "build": build,
        "page": shown,
        "token": uuid4(),
        "lines": _lines(request, shown, bound or {}, moment),
        "at": asked(request, "at"),
        "only_at": asked(request, "at") or (shown.next.line.pk if shown.next else 0),
        "let": (bound or {}).get("let") or _let(shown),
        "instrument": (bound or {}).get("instrument") or InstrumentForm(),
        "moment": moment,
    }
    return page(request, "proving/sheet.html", context, PARTS, status)


def _let(shown: SheetPage) -> LetForm | None:
    if shown.found is None or not shown.to_let or not shown.can_read:
        return None
    lines = [row.line for row in shown.to_let]
    return LetForm(lines=lines, initial={"run": shown.found.run.pk})


def _lines(
    request: HttpRequest, shown: SheetPage, bound: dict[str, BaseForm], moment: datetime
) -> list[dict[str, Any]]:
    """Each row with the one form that it wants now."""
    if shown.found is None:
        return []
    with_what = instruments()
    last = last_with([row.line.code for row in shown.rows], staff(request).pk)
    return [
        {"row": row, "form": _form(row, shown, with_what, last, bound), "name": _name(row)}
        for row in shown.rows
    ]


def _name(row: Row) -> str:
    if row.stands.asks_rework:
        return "rework"
    return "timer" if row.stands.is_timed else "read"


def _form(
    row: Row,
    shown: SheetPage,
    with_what: list[Instrument],
    last: dict[str, int],
    bound: dict[str, BaseForm],
) -> BaseForm | None:
    if came_back := bound.get(f"{_name(row)}-{row.line.pk}"):
        return came_back
    if not shown.can_read or shown.found is None:
        return None
    initial: dict[str, Any] = {"token": uuid4(), "run": shown.found.run.pk}
    newest = row.stands.newest
    if row.stands.asks_rework and newest:
        return ReworkForm(reading=newest.pk, initial={"token": uuid4()})
    if not row.may_read:
        return None
    if row.stands.is_timed:
        return TimerForm(line=row.line, initial=initial)
    initial |= {"seen": newest.pk if newest else 0, "instrument": last.get(row.line.code)}
    return ReadingForm(line=row.line, instruments=with_what, initial=initial)
