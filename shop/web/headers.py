"""Headers of every answer: nothing of the shop's is kept by a cache or a search engine."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils.cache import patch_vary_headers

# Powers of a browser that no page of ours uses; the camera is reached by a file input alone.
UNUSED = "camera=(), display-capture=(), geolocation=(), microphone=(), payment=(), usb=()"


class PrivateByDefault:
    """Marks an answer private unless its view said otherwise."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        response.headers.setdefault("Cache-Control", "private, no-store")
        response.headers.setdefault("X-Robots-Tag", "noindex, nofollow")
        response.headers.setdefault("Permissions-Policy", UNUSED)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        patch_vary_headers(response, ["HX-Request", "HX-Target"])
        return response
