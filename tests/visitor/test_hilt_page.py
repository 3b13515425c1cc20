"""The page of a finished hilt: what it tells its owner, for good, and what it keeps back."""

import re
from datetime import datetime, timedelta

import pytest
from django.test import Client

from builds.intake.models import Photo
from builds.progress.models import Build
from builds.progress.states import Kind, State
from shop.models import PrivateLink, User
from shop.post.actions import renew, revoke
from tests.visitor import making

UNKNOWN = "/your/hilt/abcdefghijklmnop-abcdefghijklmnopqrstuvwxyz/"


@pytest.fixture
def shared(build: Build, owner: User, now: datetime) -> Photo:
    """A shared photo of the wired chassis."""
    return making.photo(build, owner, now, shared=True)


@pytest.fixture
def finished(build: Build, shared: Photo, now: datetime) -> Build:
    return making.finished(build, now)


@pytest.fixture
def hilt_link(finished: Build, now: datetime) -> PrivateLink:
    return making.hilt_link_to(finished, now)


@pytest.fixture
def page(hilt_link: PrivateLink) -> str:
    return f"/your/hilt/{making.token(hilt_link)}/"


def text(client: Client, url: str) -> str:
    """The page without the blanks of its source."""
    return " ".join(client.get(url).content.decode().split())


def status(client: Client, url: str) -> int:
    """The status of a picture, read to its end."""
    response = client.get(url)
    b"".join(response)
    return int(response.status_code)


def refusal(client: Client, url: str) -> tuple[int, str]:
    """What a caller can tell one refusal from another by."""
    response = client.get(url)
    return response.status_code, re.sub(r"\s+", " ", response.content.decode())


def test_owner_of_a_hilt_opens_its_page_without_signing_in(stranger: Client, page: str) -> None:
    assert "<h1>Copperfen</h1>" in text(stranger, page)


@pytest.mark.parametrize(
    ("kind", "words"), [(Kind.FULL, "Light and sound fitted"), (Kind.REPAIR, "Repaired")]
)
def test_page_says_what_was_done_and_when(
    stranger: Client, page: str, finished: Build, kind: str, words: str
) -> None:
    Build.objects.filter(pk=finished.pk).update(kind=kind)
    assert f"<dt>{words}</dt><dd>posted 25 November 2026</dd>" in text(stranger, page)


def test_work_handed_over_in_person_was_collected(
    stranger: Client, page: str, finished: Build, now: datetime
) -> None:
    making.finished(finished, now, State.COLLECTED)
    assert "collected 25 November 2026" in text(stranger, page)


@pytest.mark.parametrize("state", [State.INTAKE, State.RETURNED, State.WITHDRAWN, State.ABANDONED])
def test_work_that_is_not_finished_is_not_told(
    stranger: Client, page: str, finished: Build, state: str
) -> None:
    Build.objects.filter(pk=finished.pk).update(state=state)
    assert "Nothing is finished on it yet." in text(stranger, page)


def test_page_does_not_run_out(stranger: Client, page: str, finished: Build, now: datetime) -> None:
    making.finished(finished, now - timedelta(days=20 * 365))
    assert stranger.get(page).status_code == 200


@pytest.mark.parametrize(
    "words",
    [
        "Use its own charger",
        "a surface that cannot burn",
        "about half full",
        "5 to 20 °C",
        "two to three months",
        "mild soap and water",
        "sensitive to flashing light",
        "pacemakers",
        "not for small children",
        "Do not post anything before",
        "Common practice",
        "the rules of your country",
    ],
)
def test_page_says_how_to_look_after_it(stranger: Client, page: str, words: str) -> None:
    assert words in text(stranger, page)


@pytest.mark.parametrize(
    "secret",
    ["Quillfeather", "Saltmarsh", "Northwick", "ines@example.com", "7946", "Oda", "2026-031"],
)
def test_page_tells_no_surname_street_order_or_name_of_staff(
    stranger: Client, page: str, secret: str
) -> None:
    assert secret not in text(stranger, page)


def test_wrong_links_look_all_alike(
    stranger: Client, page: str, hilt_link: PrivateLink, owner: User, now: datetime
) -> None:
    unknown = refusal(stranger, UNKNOWN)
    last = "b" if page[-2] == "a" else "a"
    assert unknown[0] == 404
    assert refusal(stranger, f"{page[:-2]}{last}/") == unknown
    revoke(hilt_link, owner, now)
    assert refusal(stranger, page) == unknown
    renew(hilt_link, owner, now)
    assert refusal(stranger, page) == unknown


def test_order_link_opens_no_hilt(stranger: Client, link: PrivateLink, finished: Build) -> None:
    assert stranger.get(f"/your/hilt/{making.token(link)}/").status_code == 404


def test_hilt_link_opens_no_order(stranger: Client, page: str) -> None:
    assert stranger.get(page.replace("/hilt/", "/order/")).status_code == 404


def test_guesses_are_slowed(stranger: Client) -> None:
    assert [stranger.get(UNKNOWN).status_code for _ in range(22)] == [404] * 20 + [429] * 2


def test_page_tells_no_cache_search_engine_or_other_site(stranger: Client, page: str) -> None:
    headers = stranger.get(page).headers
    assert headers["Cache-Control"] == "private, no-store"
    assert "noindex" in headers["X-Robots-Tag"]
    assert headers["Referrer-Policy"] == "same-origin"  # it has a form


def test_page_shows_what_the_shop_shared_of_the_work(
    stranger: Client, page: str, shared: Photo
) -> None:
    assert f"{page}photo/{shared.pk}/320/" in text(stranger, page)
    assert status(stranger, f"{page}photo/{shared.pk}/320/") == 200


@pytest.mark.parametrize(
    "change", [{"shared": False}, {"stage": State.INTAKE}, {"stage": State.TEARDOWN}]
)
def test_other_photos_are_kept_back(
    stranger: Client, page: str, shared: Photo, change: dict[str, object]
) -> None:
    Photo.objects.filter(pk=shared.pk).update(**change)
    assert f"photo/{shared.pk}/" not in text(stranger, page)
    assert status(stranger, f"{page}photo/{shared.pk}/320/") == 404


def test_photo_of_another_hilt_is_kept_back(
    stranger: Client, page: str, build: Build, owner: User, now: datetime
) -> None:
    order = making.order(build.item.order.customer, now, number="2026-032")
    other = making.build(order, owner, now, hilt="Long Quiet", state=State.INSTALL)
    theirs = making.photo(other, owner, now, shared=True, colour="#12233A")
    making.finished(other, now)
    assert status(stranger, f"{page}photo/{theirs.pk}/320/") == 404


def test_photo_of_work_that_goes_on_is_kept_back(
    stranger: Client, page: str, shared: Photo, finished: Build
) -> None:
    Build.objects.filter(pk=finished.pk).update(state=State.INTAKE)
    assert status(stranger, f"{page}photo/{shared.pk}/320/") == 404


def test_order_page_leads_to_the_page_of_a_finished_hilt(
    stranger: Client, url: str, page: str
) -> None:
    assert f'href="https://larkhill.example{page}"' in text(stranger, url)


def test_order_page_names_no_link_that_was_closed(
    stranger: Client, url: str, page: str, hilt_link: PrivateLink, owner: User, now: datetime
) -> None:
    revoke(hilt_link, owner, now)
    assert "/your/hilt/" not in text(stranger, url)
