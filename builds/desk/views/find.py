"""The one box that finds things."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from builds.desk.queries.find import find as look_up
from shop.web.partials import page

LONGEST = 120


def find(request: HttpRequest) -> HttpResponse:
    """What a text finds; what can only mean one build or one part opens its page."""
    text = request.GET.get("q", "").replace("\x00", "").strip()[:LONGEST]
    found = look_up(text)
    if found.exact:
        return HttpResponseRedirect(reverse("bench_sheet", args=[found.exact.number]))
    if found.labelled:
        return HttpResponseRedirect(reverse("stores_part", args=[found.labelled.pk]))
    return page(request, "desk/find.html", {"room": "find", "q": text, "found": found})
