"""What the bench's own script asks before it sends."""

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.views.decorators.http import require_safe

from shop.web.access import public, staff
from shop.web.partials import page


@public  # somebody who was signed out is told so, and not led to the sign-in
@require_safe
def who(request: HttpRequest) -> HttpResponse:
    """Who is at this browser, and the token that forms want of them; nobody: null."""
    if not request.user.is_authenticated:
        return JsonResponse({"who": None})
    return JsonResponse({"who": staff(request).pk, "csrf": get_token(request)})


@public  # it holds nothing of the shop's, and browsers ask for it anew whoever is there
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The script that opens the bench's pages without a connection; under HTTPS alone."""
    if not request.is_secure():
        raise Http404
    script = (settings.BASE_DIR / "static" / "js" / "worker.js").read_text()
    return HttpResponse(script, content_type="text/javascript; charset=utf-8")


@public  # a browser keeps it for when nobody can be asked who is there
@require_safe
def no_connection(request: HttpRequest) -> HttpResponse:
    """What stands in place of a page that is not kept."""
    return page(request, "later/no_connection.html")
