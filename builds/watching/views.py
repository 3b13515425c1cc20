"""Health and figures, for machines."""

from hmac import compare_digest
from ipaddress import ip_address

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseNotFound, JsonResponse
from django.views.decorators.http import require_safe

from builds.watching.queries.ready import FAILED, checks, state_of
from shop.clock import now
from shop.web.access import public
from shop.web.bare import bare
from shop.web.reading import keeping

# What proxies write: whoever comes with one of these is not on this machine.
HANDED_ON = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-IP")


@bare
@public
@require_safe
def live(request: HttpRequest) -> HttpResponse:
    """Whether the process answers at all; asks nothing of anything else."""
    return JsonResponse({"status": "ok"})


@bare
@public
@require_safe
def ready(request: HttpRequest) -> HttpResponse:
    """Whether people can be served here; 503 where not."""
    found = list(checks())
    state = state_of(found)
    told = {check.name: {"status": check.state, "says": check.says} for check in found}
    return JsonResponse({"status": state, "checks": told}, status=503 if state == FAILED else 200)


@bare
@public
@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """Figures in Prometheus text; for this machine, or by the token, and else not there."""
    if not (_is_here(request) or _has_token(request)):
        return HttpResponseNotFound()
    # Loaded when somebody first asks: most shops have nobody who does.
    from builds.watching.queries.exposition import CONTENT_TYPE, text  # noqa: PLC0415

    with keeping():
        return HttpResponse(text(now()), content_type=CONTENT_TYPE)


def _has_token(request: HttpRequest) -> bool:
    given = request.headers.get("Authorization", "").removeprefix("Bearer ").encode()
    return bool(settings.METRICS_TOKEN) and compare_digest(given, settings.METRICS_TOKEN.encode())


def _is_here(request: HttpRequest) -> bool:
    """Whether this machine itself asks, and no proxy on it for somebody else."""
    if any(name in request.headers for name in (*HANDED_ON, settings.CALLER_HEADER) if name):
        return False
    if settings.HTTPS and not settings.CALLER_HEADER:
        return False  # a proxy of which nobody said how it names its callers
    try:
        return ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False
