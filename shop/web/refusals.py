"""What a request is told that was refused before any view saw it."""

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFilesSent
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _


def bad_request(_request: HttpRequest, exception: Exception) -> HttpResponse:
    """Say what was too much; else that the request came damaged.

    Without the request: nobody may have looked yet whether somebody is signed in.
    """
    return HttpResponse(render_to_string("400.html", {"why": _why(exception)}), status=400)


def _why(exception: Exception) -> str:
    if isinstance(exception, TooManyFilesSent):
        most = settings.DATA_UPLOAD_MAX_NUMBER_FILES
        return (
            _("More than %d files at once are too many. None was kept: send them in parts.") % most
        )
    if isinstance(exception, RequestDataTooBig):
        return _("That text is far too long, and nothing was saved. Go back and shorten it.")
    return ""
