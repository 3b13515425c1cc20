"""Answers to the shop's own names alone, so that no stranger's name can be led to this machine."""

from collections.abc import Callable
from ipaddress import ip_address
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.request import split_domain_port
from django.template.loader import render_to_string

from shop.house.models import House


class KnownHost:
    """Refuses a Host that is none of the shop's, once the shop is set up.

    Its names are those of its two addresses, the machine itself, and bare numbers, which no name
    server can turn elsewhere. Where ALLOWED_HOSTS is set, that list counts instead.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        house: House = request.house  # type: ignore[attr-defined]
        name, _port = split_domain_port(request.get_host())
        if house.set_up_at and "*" in settings.ALLOWED_HOSTS and not is_known(name, house):
            return HttpResponse(render_to_string("400.html", {"unknown_host": name}), status=400)
        return self.get_response(request)


def is_known(name: str, house: House) -> bool:
    """Whether a host name is one of the shop's."""
    own = {urlsplit(url).hostname for url in (house.bench_url, house.public_url) if url}
    if name in own or name == "localhost" or name.endswith((".localhost", ".local")):
        return True
    try:
        ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True
