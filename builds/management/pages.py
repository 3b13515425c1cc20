"""Every page of a filled shop by its address: what an address names is found in the shop."""

from collections.abc import Callable, Iterator
from itertools import islice, product
from typing import Any

from django.conf import settings
from django.db.models import Count, QuerySet
from django.test import Client
from django.urls import NoReverseMatch, URLPattern, URLResolver, get_resolver, reverse

from builds.models import Build, Return
from builds.progress.states import State
from shop.models import Invoice, Order, PrivateLink, Purchase
from shop.post import links

DEMO = 23  # so many builds come with the demo; the same ones in every filled shop
TRIES = 900  # of one address
WANTED = "Full install: removable chassis, two switches."  # of the builds that many are like
# Pages that list or find by what their address asks.
ASKED = {
    "desk_find": ("?q=Weir", "?q=Tamsin", "?q=Alder", "?q=0002", "?q=2026-003", "?q=FP 44"),
    "desk_orders": ("?begins=Tamsin", "?page=2", "?page=4"),
    "desk_customers": ("?begins=Tam", "?page=2"),
    "desk_messages": ("?show=failed", "?show=left", "?show=left&page=4", "?show=received"),
    "stores_stores": ("?begins=cell", "?kind=cell", "?show=short", "?show=all"),
    "stores_purchases": ("?show=settled",),
    "handover_returns": ("?show=work", "?show=settled"),
    "sounds_shelf": ("?begins=F",),
}
_WORDS: dict[str, tuple[Any, ...]] = {
    "side": (320,), "what": ("play", "file", "poster"), "size": ("usual", "full"),
    "kind": ("customers", "cell"), "occasion": ("sent",), "revision": (1, 2), "uid": (),
}  # fmt: skip
# What is not looked at: it ends the session, or changes what the next look sees.
LEFT_OUT = {"people_sign_out", "desk_first_setup", "people_sign_in", "people_new_password"}


def patterns(resolver: URLResolver | None = None) -> Iterator[URLPattern]:
    """All pages of the shop."""
    for entry in (resolver or get_resolver(settings.ROOT_URLCONF)).url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        else:
            yield entry


def addresses(client: Client) -> dict[str, str]:
    """Name → address of every page that answers a look."""
    found: dict[str, str] = {}
    for page in patterns():
        name = str(page.name)
        address = None if name in LEFT_OUT else _address(client, name, page)
        if address:
            found[name] = address
            found |= {name + asked: address + asked for asked in ASKED.get(name, ())}
    return found


def _address(client: Client, name: str, page: URLPattern) -> str | None:
    """The first address that is there; None where there is only a deed."""
    keys = list(page.pattern.converters)
    for values in islice(product(*(_candidates(name, key) for key in keys)), TRIES):
        try:
            address = reverse(name, kwargs=dict(zip(keys, values, strict=True)))
        except NoReverseMatch:
            continue
        answer = client.get(address)
        if answer.status_code == 405:
            return None
        if answer.status_code == 200:
            return address
    return None


def _candidates(name: str, key: str) -> tuple[Any, ...]:
    if key == "number":
        return _numbers(name)
    if key == "token":
        return _tokens("hilt" if name.startswith(("visitor_hilt", "visitor_return")) else "order")
    return _WORDS.get(key, tuple(range(1, 61)))


def _numbers(name: str) -> tuple[Any, ...]:
    if "paper" in name and name.startswith(("desk", "visitor")):
        return _first(Invoice.objects.order_by("pk").values_list("number", flat=True))
    if name.startswith("desk"):
        return _first(Order.objects.order_by("pk").values_list("number", flat=True))
    if name.startswith("stores"):
        return _first(Purchase.objects.order_by("pk").values_list("number", flat=True))
    if name.startswith("handover_return") and name != "handover_return_new":
        return _first(Return.objects.order_by("pk").values_list("number", flat=True))
    return tuple(range(1, DEMO + 1))


def _first(rows: QuerySet) -> tuple[Any, ...]:
    return tuple(rows[:DEMO])


def _tokens(scope: str) -> tuple[str, ...]:
    """Of the demo's links: those of the past come later and are tried by `past`."""
    shown = PrivateLink.objects.filter(
        scope=scope, about__in=[f"{scope}:{n}" for n in range(1, 40)]
    )
    return tuple(_token(each) for each in shown.order_by("about"))


def _token(link: PrivateLink) -> str:
    return links.token(link.id, link.version, settings.LINK_KEY)


def past() -> dict[str, str]:
    """Pages of the newest of the builds that many are like, and of who came most often."""
    alike = Build.objects.filter(item__wanted=WANTED, state=State.SENT)
    build = alike.select_related("item__order__customer", "hilt").latest("pk")
    busiest = Order.objects.values("customer").annotate(n=Count("pk")).order_by("-n", "customer")
    of_build: Callable[[str], str] = lambda name: reverse(name, args=[build.number])  # noqa: E731
    order = build.item.order
    link = PrivateLink.objects.get(about=f"order:{order.pk}")
    return {
        **{f"{name}, past": of_build(name) for name in _OF_A_BUILD},
        "hilts_hilt, past": reverse("hilts_hilt", args=[build.hilt_id]),
        "desk_order, past": reverse("desk_order", args=[order.number]),
        "desk_money, past": reverse("desk_money", args=[order.number]),
        "desk_customer, busiest": reverse("desk_customer", args=[busiest[0]["customer"]]),
        "desk_statement, busiest": reverse("desk_statement", args=[busiest[0]["customer"]]),
        "desk_customer, past": reverse("desk_customer", args=[order.customer_id]),
        "visitor_order, past": reverse("visitor_order", args=[_token(link)]),
        "desk_find, past": f"{reverse('desk_find')}?q={order.customer.called}",
        "desk_find, a number": f"{reverse('desk_find')}?q={build.number}",
        "desk_customers, past": f"{reverse('desk_customers')}?begins={order.customer.called[:2]}",
    }


_OF_A_BUILD = (
    "bench_sheet", "fitting_parts", "fitting_wires", "fitting_fit", "fitting_power",
    "proving_sheet", "handover_build", "handover_shots", "teardown_apart", "sounds_slots",
    "sounds_card",
)  # fmt: skip


def five() -> dict[str, str]:
    """The pages that are looked at most; where there are two, of the demo and of the past."""
    of_the_past = past()
    return {
        "Today": reverse("bench_today"),
        "Bench": reverse("bench_bench"),
        "Build sheet": reverse("bench_sheet", args=[2]),
        "Dispatch day": reverse("bench_dispatch"),
        "Search": f"{reverse('desk_find')}?q=Weir",
        "Build sheet, of the past": of_the_past["bench_sheet, past"],
        "Search, of the past": of_the_past["desk_find, past"],
    }
