"""Whoever was erased is left alone: what would begin anew or tell them something is refused.

The pages do not offer these deeds; a page that was open before, and an address, still reach them.
"""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from builds.handover.models import Return
from builds.hilts.models import Hilt
from builds.progress.models import Build
from shop.orders.models import Enquiry, Order
from shop.people.models import Customer
from shop.web.partials import refused

# By the name of an address: whose it is.
OF_ORDERS = frozenset({
    "desk_posting_in", "desk_order_change", "desk_order_answer", "desk_order_job",
    "desk_order_goods", "desk_order_goods_part", "desk_order_ship", "desk_order_link_renew",
    "desk_order_link_revoke", "desk_quote_begin", "desk_quote_send", "desk_quote_answer",
    "desk_quote_revise",
})  # fmt: skip
OF_BUILDS = frozenset({"bench_tell", "bench_tell_said", "handover_return_new"})
OF_RETURNS = frozenset({"handover_return_tell", "handover_return_said", "handover_return_again"})
OF_HILTS = frozenset({"desk_hilt_link_renew", "desk_hilt_link_revoke"})
OF_ENQUIRIES = frozenset({"desk_enquiry_open", "desk_enquiry_answered"})
OF_CUSTOMERS = frozenset({"desk_account"})
# These name the customer in what is asked for or sent.
NAMING = frozenset({"desk_order_new", "desk_enquiry_new", "desk_blade_new", "desk_said"})
_ERASED = "erased_at__isnull"


class ErasedAreLeftAlone:
    """Leads a deed about somebody who was erased to what is left of them."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass it on."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, _view: object, _args: object, asked: dict[str, Any]
    ) -> HttpResponse | None:
        """Refuse it, if it is about one of them."""
        name = request.resolver_match.url_name if request.resolver_match else ""
        erased = _erased(str(name), request, asked)
        if erased is None:
            return None
        return refused(request, reverse("desk_customer", args=[erased]), _("They were erased."))


def _erased(name: str, request: HttpRequest, asked: dict[str, Any]) -> int | None:
    """The erased customer whom a deed is about; None where it is about nobody erased."""
    if name in OF_ORDERS:
        return _of(Order, "customer", number=asked["number"])
    if name in OF_BUILDS:
        return _of(Build, "item__order__customer", number=asked["number"])
    if name in OF_RETURNS:
        return _of(Return, "build__item__order__customer", number=asked["number"])
    if name in OF_HILTS:
        return _of(Hilt, "customer", pk=asked["pk"])
    if name in OF_ENQUIRIES:
        return _of(Enquiry, "customer", pk=asked["pk"])
    if name in OF_CUSTOMERS:
        return _one(asked["pk"])
    return _one(_named(request)) if name in NAMING else None


def _of(model: Any, path: str, **which: Any) -> int | None:
    found = model.objects.filter(**which, **{f"{path}__{_ERASED}": False})
    return found.values_list(path, flat=True).first()  # type: ignore[no-any-return]


def _one(pk: int | None) -> int | None:
    found = Customer.objects.filter(pk=pk, **{_ERASED: False}) if pk else Customer.objects.none()
    return found.values_list("pk", flat=True).first()


def _named(request: HttpRequest) -> int | None:
    typed = request.POST.get("customer") or request.GET.get("customer", "")
    return int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 10 else None
