"""One page of the settings, or the part of it that htmx asked for."""

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse

from shop.web.partials import page


def section(
    request: HttpRequest,
    here: str,
    template: str,
    context: Mapping[str, Any],
    parts: Mapping[str, str] | None = None,
    refused: bool = False,
) -> HttpResponse:
    """Answer with a page of the settings.

    :param here: the url name that is marked in the index of the settings.
    :param refused: whether a form came back with errors.
    """
    frame = {"room": "settings", "here": here}
    status = 422 if refused else 200
    return page(request, f"desk/{template}.html", frame | dict(context), parts, status=status)
