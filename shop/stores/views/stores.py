"""The list of what the shop has and knows."""

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST, require_safe

from shop import clock
from shop.stores.actions.typical import add_typical
from shop.stores.kinds import PartKind
from shop.stores.queries import shelf
from shop.stores.queries.typical import lacks_typical
from shop.web.access import staff
from shop.web.paging import cut
from shop.web.partials import done, page

LONGEST = 120


@require_safe
def stores(request: HttpRequest) -> HttpResponse:
    """Parts by kind, with what is free, reserved and on hand."""
    text = request.GET.get("begins", "").replace("\x00", "").strip()[:LONGEST]
    kind, show = request.GET.get("kind", ""), _which(request.GET.get("show", ""))
    page_obj = cut(request, shelf.found(text, kind, show))
    context = {
        "room": "stores",
        "here": "stores",
        "begins": text,
        "kind": kind if kind in PartKind.values else "",
        "show": show,
        "is_first_look": not (text or kind or "show" in request.GET),
        "kinds": PartKind.choices,
        "page_obj": page_obj,
        "groups": shelf.by_kind(page_obj.object_list, request.house.length_unit),  # type: ignore[attr-defined]
        "short": shelf.how_many_short(),
        "lacks_typical": lacks_typical(),
    }
    return page(request, "stores/stores.html", context, {"shelf": "stores/_shelf.html"})


def _which(asked: str) -> str:
    """What is listed: what the shop keeps, or all that it knows where it keeps nothing yet."""
    show = asked if asked in shelf.SHOWS else shelf.OURS
    return show if show or shelf.has_own() else shelf.ALL


@require_POST
def typical(request: HttpRequest) -> HttpResponse:
    """Write down the parts that most shops have, with typical figures."""
    added = add_typical(by=staff(request), now=clock.now())
    said = ngettext("%d typical part written down.", "%d typical parts written down.", added)
    words = said % added if added else _("They are all there.")
    return done(request, reverse("stores_stores"), words)
