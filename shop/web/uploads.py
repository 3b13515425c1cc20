"""No files from strangers: they would lie in the temporary folder before any view looks at them."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.utils.translation import gettext as _

FORM = 64 * 1024  # more than any form of a public page comes to


class NoFilesFromStrangers:
    """Refuses a multipart body from someone not signed in, unless it is no larger than a form."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if (
            request.content_type == "multipart/form-data"
            and int(request.META.get("CONTENT_LENGTH") or 0) > FORM
            and not request.user.is_authenticated
        ):
            return HttpResponseBadRequest(_("Files are taken from people of the shop alone."))
        return self.get_response(request)
