"""Which photos a link shows, and to whom."""

from datetime import datetime

from django.test import Client

from builds.progress.models import Build
from shop.models import Order, PrivateLink, User
from shop.post.actions import revoke
from tests.visitor import making
from tests.visitor.test_links import UNKNOWN, seen


def test_shared_photo_is_on_the_page_in_both_sizes(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    page = stranger.get(url).content.decode()
    assert f"{url}photo/{photo.pk}/320/" in page
    assert f"{url}photo/{photo.pk}/1600/" in page


def test_customer_gets_the_picture(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    response = stranger.get(f"{url}photo/{photo.pk}/320/")
    assert response["Content-Type"] == "image/webp"
    assert response.getvalue()[8:12] == b"WEBP"


def test_picture_is_private(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    headers = stranger.head(f"{url}photo/{photo.pk}/1600/").headers
    assert headers["Cache-Control"].startswith("private")
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "noindex" in headers["X-Robots-Tag"]


def test_photo_that_is_not_shared_looks_unknown(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=False)
    response = stranger.get(f"{url}photo/{photo.pk}/320/")
    assert seen(response) == seen(stranger.get(UNKNOWN))


def test_photo_that_is_not_shared_is_not_on_the_page(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=False)
    assert f"photo/{photo.pk}/" not in stranger.get(url).content.decode()


def test_photo_of_another_order_looks_unknown(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    other = making.order(making.customer(now, called="Joss"), now, number="2026-032")
    photo = making.photo(making.build(other, owner, now), owner, now, shared=True)
    response = stranger.get(f"{url}photo/{photo.pk}/320/")
    assert seen(response) == seen(stranger.get(UNKNOWN))


def test_size_that_is_not_made_looks_unknown(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    response = stranger.get(f"{url}photo/{photo.pk}/4000/")
    assert seen(response) == seen(stranger.get(UNKNOWN))


def test_photo_behind_a_revoked_link_looks_unknown(
    stranger: Client, url: str, link: PrivateLink, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    revoke(link, owner, now)
    response = stranger.get(f"{url}photo/{photo.pk}/320/")
    assert seen(response) == seen(stranger.get(UNKNOWN))


def test_photo_no_longer_shared_is_gone(
    stranger: Client, url: str, order: Order, build: Build, owner: User, now: datetime
) -> None:
    photo = making.photo(build, owner, now, shared=True)
    photo.shared = False
    photo.save()
    assert stranger.get(f"{url}photo/{photo.pk}/320/").status_code == 404
