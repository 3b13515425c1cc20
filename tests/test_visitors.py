"""Four visitors walk every address of a shop that has something at each of them: look and deed.

Nobody, a customer with a private link, the bench, the owner. A new page needs no line here.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse

from shop.models import User
from tests.test_access import OWNERS, PAGES, PUBLIC
from tests.test_costs import SIZES, Shop, full_shop

__all__ = ["full_shop"]  # a fixture, asked for by its name

# Where the address itself opens something, and it is not the customer's own.
BY_TOKEN = {name for name in PUBLIC if name.startswith("visitor_")}
EVERY = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Robots-Tag": "noindex, nofollow",
}
# What answers machines before anything else: no page, and nothing of the shop's.
BARE = {"X-Content-Type-Options": "nosniff", "Cache-Control": "no-store"}
POLICY = ["default-src 'self'", "object-src 'none'", "frame-ancestors 'none'", "base-uri 'none'",
          "form-action 'self'"]  # fmt: skip
Answer = Any


@pytest.fixture
def shop(full_shop: Shop) -> Shop:
    """A shop that has something at every address."""
    full_shop.grow(*SIZES[0])
    return full_shop


def address_of(shop: Shop, name: str) -> str:
    known, pattern = shop.values(name), PAGES[name].pattern
    return reverse(name, kwargs={key: known.get(key, 1) for key in pattern.converters})


def answers(shop: Shop, client: Client) -> Iterator[tuple[str, str, Answer]]:
    """Every page, looked at and with an empty deed; nothing that one does lasts for the next."""
    cookies = client.cookies.output(header="", sep=";")
    for name in sorted(PAGES):
        for method in ("get", "post"):
            fresh = Client()
            fresh.cookies.load(cookies)
            with transaction.atomic():
                answer = getattr(fresh, method)(address_of(shop, name))
                b"".join(answer)  # to its end: files are sent while they are read
                transaction.set_rollback(True)
            yield name, method, answer


def is_led_away(answer: Answer) -> bool:
    to = answer.headers.get("Location", "")
    return answer.status_code in {302, 303} and to.startswith(reverse("people_sign_in"))


def wrong_headers(answer: Answer, wanted: dict[str, str]) -> list[str]:
    """What an answer says otherwise than it must."""
    found = [f"{key}: {answer.get(key)}" for key in wanted if answer.get(key) != wanted[key]]
    if wanted is BARE:
        return found
    policy = answer.get("Content-Security-Policy", "")
    found += [part for part in POLICY if part not in policy]
    found += [sign for sign in ("unsafe-inline", "unsafe-eval", "http:", "*") if sign in policy]
    kept = answer.get("Cache-Control", "")
    if not {"no-store", "private"} & set(kept.replace(" ", "").split(",")):
        found.append(f"Cache-Control: {kept}")
    if "public" in kept or "s-maxage" in kept:
        found.append(f"Cache-Control: {kept}")
    if answer.get("Referrer-Policy") not in {"same-origin", "no-referrer"}:
        found.append(f"Referrer-Policy: {answer.get('Referrer-Policy')}")
    if "geolocation=()" not in answer.get("Permissions-Policy", ""):
        found.append("Permissions-Policy")
    is_text = answer.get("Content-Type", "").startswith("text/")
    if is_text and "charset=utf-8" not in answer["Content-Type"].lower():
        found.append(f"Content-Type: {answer['Content-Type']}")
    found += [
        f"cookie {cookie.key}"
        for cookie in answer.cookies.values()
        if cookie.value and not (cookie["httponly"] and cookie["samesite"] == "Lax")
    ]
    return found


def odd_ones(
    shop: Shop, client: Client, is_well: Callable[[str, str, Answer], bool]
) -> dict[str, list[str]]:
    """Pages that answered a visitor otherwise than they may, or with other headers."""
    found = {}
    for name, method, answer in answers(shop, client):
        is_bare = getattr(PAGES[name].callback, "is_bare", False)
        odd = wrong_headers(answer, BARE if is_bare else EVERY)
        if answer.status_code >= 500 or not is_well(name, method, answer):
            odd.append(f"status {answer.status_code}")
        if odd:
            found[f"{method} {name}"] = odd
    return found


def closed_to_strangers(name: str, _method: str, answer: Answer) -> bool:
    return name in PUBLIC or is_led_away(answer)


def closed_to_the_bench(name: str, method: str, answer: Answer) -> bool:
    if name in OWNERS:
        return answer.status_code == 403 or (method == "get" and answer.status_code == 405)
    return answer.status_code != 403 and (name in PUBLIC or not is_led_away(answer))


def open_to_the_owner(name: str, _method: str, answer: Answer) -> bool:
    return answer.status_code != 403 and (name in PUBLIC or not is_led_away(answer))


def test_nobody_is_let_in_anywhere(shop: Shop, stranger: Client) -> None:
    assert odd_ones(shop, stranger, closed_to_strangers) == {}


def test_link_of_a_customer_opens_the_customers_pages_alone(shop: Shop, stranger: Client) -> None:
    for name in ("visitor_order", "visitor_hilt"):
        assert stranger.get(address_of(shop, name)).status_code == 200
    assert odd_ones(shop, stranger, closed_to_strangers) == {}


def test_bench_opens_nothing_of_the_owners(shop: Shop, bench_client: Client) -> None:
    assert odd_ones(shop, bench_client, closed_to_the_bench) == {}


def test_owner_is_let_in_everywhere(shop: Shop, owner_client: Client) -> None:
    assert odd_ones(shop, owner_client, open_to_the_owner) == {}


def test_wrong_link_opens_no_page(shop: Shop, stranger: Client) -> None:
    opened = {}
    for name in sorted(BY_TOKEN):
        address = address_of(shop, name)
        token = str(shop.values(name)["token"])
        wrong = token[:-1] + ("a" if token[-1] != "a" else "b")
        for method in ("get", "post"):
            status = getattr(stranger, method)(address.replace(token, wrong)).status_code
            if status not in {404, 405, 429}:
                opened[f"{method} {name}"] = status
    assert opened == {}


def test_no_deed_is_done_for_another_site(shop: Shop, owner: User) -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner)
    done = {}
    for name in sorted(PAGES):
        status = strict.post(address_of(shop, name)).status_code
        if status not in {403, 405}:
            done[name] = status
    assert done == {}


def test_page_that_is_not_there_says_it_too(owner_client: Client, stranger: Client) -> None:
    for client in (owner_client, stranger):
        assert wrong_headers(client.get("/no-such-page/"), EVERY) == []
