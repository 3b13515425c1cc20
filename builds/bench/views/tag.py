"""The printed tag: tray, number, "cell inside", and a QR code that opens the build."""

import segno
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_safe

from builds.bench.views.sheet import build_of
from builds.intake.models import CellCheck, CellResult
from builds.progress.models import Build
from builds.progress.queries import back_since
from builds.progress.states import State
from shop.web.partials import page

BEFORE_INSTALL = frozenset({State.BOOKED, State.INTAKE, State.TEARDOWN})


@require_safe
def tag(request: HttpRequest, number: int) -> HttpResponse:
    """A tag to print and tie on."""
    build = build_of(number)
    path = reverse("bench_sheet", args=[number])
    base = request.house.bench_url.rstrip("/")  # type: ignore[attr-defined]
    address = base + path if base else request.build_absolute_uri(path)
    code = segno.make(address, error="m", micro=False)
    newest = _look_that_counts(build)
    context = {
        "room": "bench",
        "build": build,
        "address": address,
        "qr": code.svg_inline(border=1, svgclass="qr", lineclass=None, omitsize=True),
        "cell_out": newest is not None and newest.result != CellResult.NONE,
        "no_cell": newest is not None and newest.result == CellResult.NONE,
    }
    return page(request, "bench/tag.html", context)


def _look_that_counts(build: Build) -> CellCheck | None:
    """The newest look at the cell, until parts go in and a cell with them: then the tag warns."""
    newest = build.cell_checks.first()
    back = back_since([build.pk]).get(build.pk)
    is_of_now = newest is not None and (back is None or newest.at >= back)
    return newest if is_of_now and build.state in BEFORE_INSTALL else None
