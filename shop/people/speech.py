"""Whom a page speaks to: staff in their language, customers in theirs, else as the shop does."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.http import HttpRequest, HttpResponse
from django.utils.translation import get_language_from_request

from shop.house.queries import house
from shop.house.speech import known, speaking_as
from shop.people.models import Customer


class OwnLanguage:
    """Speaks to whoever asks for a page, and puts back what stood before: threads serve many."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        shop = request.house  # type: ignore[attr-defined]
        with speaking_as(shop, _language_of(request)):
            return self.get_response(request)


def _language_of(request: HttpRequest) -> str:
    # Nobody has said yet what the shop speaks: the browser says what its owner reads.
    if request.house.set_up_at is None:  # type: ignore[attr-defined]
        return known(get_language_from_request(request))
    return str(getattr(request.user, "language", ""))


@contextmanager
def speaking_to(customer: Customer | None) -> Iterator[None]:
    """Speak to a customer: what is made in here is for their eyes."""
    with speaking_as(house(), customer.language if customer else ""):
        yield
