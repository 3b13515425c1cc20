"""The printed tag: tray, number, "cell inside", and a QR code that opens the build."""

import segno
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.http import require_safe

from builds.bench.views.sheet import build_of
from builds.intake.models import CellResult
from shop.web.partials import page


@require_safe
def tag(request: HttpRequest, number: int) -> HttpResponse:
    """A tag to print and tie on."""
    build = build_of(number)
    path = reverse("bench_sheet", args=[number])
    base = request.house.bench_url.rstrip("/")  # type: ignore[attr-defined]
    address = base + path if base else request.build_absolute_uri(path)
    code = segno.make(address, error="m", micro=False)
    newest = build.cell_checks.first()
    context = {
        "room": "bench",
        "build": build,
        "address": address,
        "qr": code.svg_inline(border=1, svgclass="qr", lineclass=None, omitsize=True),
        "cell_out": newest is not None and newest.result != CellResult.NONE,
        "no_cell": newest is not None and newest.result == CellResult.NONE,
        "unchecked": newest is None,
    }
    return page(request, "bench/tag.html", context)
