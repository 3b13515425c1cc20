"""The htmx rule, in one place.

A page is always built whole. Only when htmx asks for one of the parts that the view names, by
its own target, is that part sent alone; a deed answers with a redirect in both cases, and the
browser carries htmx's headers along to the page that it leads to.
"""

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect, JsonResponse
from django.template.loader import render_to_string
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _

from shop.web.pointing import begins_at_the_reason

REFUSED = 422  # a form that came back, with the reason beside what was typed


def page(
    request: HttpRequest,
    template: str,
    context: Mapping[str, Any] | None = None,
    parts: Mapping[str, str] | None = None,
    status: int = 200,
    along: Mapping[str, str] | None = None,
) -> HttpResponse:
    """Answer with a page, or with the part of it that htmx asked for.

    :param parts: id of the element that htmx replaces → template of that part.
    :param along: further parts, by id, that change with any of them; sent out of band.
    """
    htmx = getattr(request, "htmx", None)
    target = (htmx.target or "") if htmx and not htmx.boosted else ""
    part = (parts or {}).get(target)
    data = dict(context or {})
    shown: str = render_to_string(part or template, data, request)
    if status == REFUSED:
        shown = begins_at_the_reason(shown)
    if part is None:
        return HttpResponse(shown, status=status)
    body = [shown]
    # What the deed said stands outside the part: it is carried along out of band.
    data["out_of_band"] = True
    for name, template_of in {"said": "web/_said.html", **(along or {})}.items():
        if name != target:
            body.append(render_to_string(template_of, data, request))
    return HttpResponse("".join(body), status=status)


def done(request: HttpRequest, to: str, said: str = "") -> HttpResponse:
    """Answer a deed: say what was done and go to a page, with 303 so that it is read anew."""
    if asks_words(request):
        return JsonResponse({"to": to, "said": said})
    if said:
        messages.success(request, said)
    return _leads(request, to)


def refused(request: HttpRequest, to: str, why: str) -> HttpResponse:
    """Answer a deed that was refused: say why, and go to a page that shows how things stand.

    The page is opened at its top, where the reason stands, whatever part was asked for.
    """
    if asks_words(request):
        return JsonResponse({"to": to, "why": why}, status=409)
    messages.error(request, why)
    answer = _leads(request, to.partition("#")[0])
    answer.is_refusal = True  # type: ignore[attr-defined]
    return answer


def was_refused(response: HttpResponse) -> bool:
    """Whether a deed changed nothing."""
    return getattr(response, "is_refusal", False)


# What the bench's own script wants for an answer: of a deed that waited in the browser the words,
# of one that is done now the address, since a script cannot see where it was led.
WORDS, WHERE = "words", "where"


def asks_words(request: HttpRequest) -> bool:
    """Whether a deed comes from the waiting list of a browser."""
    return request.headers.get("X-Deed-Asks") == WORDS


def signed_out() -> JsonResponse:
    """Tell the waiting list that nobody is signed in: it keeps what it has."""
    return JsonResponse({"why": _("Sign in to send it.")}, status=401)


def _leads(request: HttpRequest, to: str) -> HttpResponse:
    if request.headers.get("X-Deed-Asks") == WHERE:
        return JsonResponse({"to": to})
    return HttpResponseRedirect(to, status=303)


def next_url(request: HttpRequest, default: str) -> str:
    """Where the form asked to go on to, if that is one of our own pages; else the default."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    if url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()}):
        return wanted
    return default
