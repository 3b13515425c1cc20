"""Walks the URL map: nothing is open, and nothing of the owner's is the bench's, by accident.

A new page needs no test here. One that is open to strangers is named in ``PUBLIC``, with thought.
"""

from collections.abc import Iterator
from uuid import UUID

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

PUBLIC = {
    "people_sign_in",
    "people_second_step",
    "people_second_step_passkey",
    "people_sign_out",
    "people_new_password",
    "desk_first_setup",
    "desk_forgot",
    "feeds_read",
    "later_no_connection",
    "later_who",
    "later_worker",
    "visitor_film",
    "visitor_hilt",
    "visitor_hilt_film",
    "visitor_booklet",
    "visitor_hilt_booklet",
    "visitor_hilt_photo",
    "visitor_order",
    "visitor_paper",
    "visitor_quote",
    "visitor_consent",
    "visitor_photo",
    "visitor_return",
    "visitor_sounds",
    "watching_live",
    "watching_ready",
    "watching_metrics",
}
ROOMS = {
    "people", "post", "files", "stores", "bench", "desk", "dispatch", "visitor", "hilts",
    "teardown", "fitting", "sounds", "proving", "handover", "importing", "feeds", "watching",
    "queue",
    "keeping", "forgetting", "later",
}  # fmt: skip
VALUES = {"Int": 1, "UUID": UUID(int=1)}  # any other kind of value may be "a"


def patterns(resolver: URLResolver) -> Iterator[URLPattern]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        else:
            yield entry


PAGES = {str(pattern.name): pattern for pattern in patterns(get_resolver())}
OWNERS = sorted(n for n, p in PAGES.items() if getattr(p.callback, "is_owner_only", False))
CLOSED = sorted(PAGES.keys() - PUBLIC)


def address(name: str) -> str:
    """An address of the page, with made-up values where it wants some."""
    for variant in get_resolver().reverse_dict.getlist(name):
        converters = variant[3]
        kinds = {key: type(c).__name__.removesuffix("Converter") for key, c in converters.items()}
        return reverse(name, kwargs={key: VALUES.get(kind, "a") for key, kind in kinds.items()})
    raise AssertionError(f"{name} has no address")


def test_every_page_has_a_name_of_its_room() -> None:
    assert {name.partition("_")[0] for name in PAGES} <= ROOMS


def test_no_two_pages_share_a_name() -> None:
    assert len(PAGES) == len(list(patterns(get_resolver())))


def test_what_is_public_is_named_here() -> None:
    marked = {name for name, page in PAGES.items() if getattr(page.callback, "is_public", False)}
    assert marked == PUBLIC


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", CLOSED)
def test_stranger_is_led_to_the_sign_in(stranger: Client, name: str, method: str) -> None:
    answer = getattr(stranger, method)(address(name))
    assert answer.status_code in {302, 303}
    assert answer.headers["Location"].startswith(reverse("people_sign_in"))


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", OWNERS)
def test_bench_hand_is_kept_from_what_is_the_owners(
    bench_client: Client, name: str, method: str
) -> None:
    answer = getattr(bench_client, method)(address(name))
    # Looking where there is only a deed is refused whoever looks.
    assert answer.status_code in ({403, 405} if method == "get" else {403})


@pytest.mark.parametrize("name", CLOSED)
def test_owner_is_let_in_everywhere(owner_client: Client, name: str) -> None:
    # What is not there is not found, and a deed is not done by looking; neither is forbidden.
    assert owner_client.get(address(name)).status_code in {200, 302, 303, 404, 405}


def test_settings_are_the_owners() -> None:
    mine = {name for name in PAGES if address(name).startswith(reverse("desk_settings"))}
    assert mine
    assert mine <= set(OWNERS)
