"""Help: the job step by step, the words, the keys, the cautions."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from builds.bench.queries.help_page import parts
from shop.web.partials import page


@require_safe
def help_page(request: HttpRequest) -> HttpResponse:
    """Everything there is to say, or the parts that speak of what is asked for."""
    wanted = request.GET.get("about", "")[:80].strip()
    context = {"room": "help", "wanted": wanted, "found": parts(wanted)}
    return page(request, "bench/help.html", context, {"parts": "bench/help/_parts.html"})
