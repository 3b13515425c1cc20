"""The film on customers’ pages: published alone, by their link alone, in ranges, with chapters."""

from datetime import datetime
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import Settings

from builds.handover.actions.chapters import Mark, add_chapter
from builds.handover.actions.films import Source, end_film, publish, put_film, take_back
from builds.handover.models import Film
from builds.models import Build
from builds.progress.states import State
from shop.files.actions import keep_file
from shop.models import PrivateLink, User
from shop.post.linking import revoke
from tests import films
from tests.handover.test_times import parsed
from tests.visitor import making

pytestmark = pytest.mark.django_db
CONTENT = films.like(films.MP4, 3_000)


@pytest.fixture(autouse=True)
def media(settings: Settings, tmp_path: Path) -> None:
    options = {**settings.STORAGES["default"], "OPTIONS": {"location": tmp_path / "media"}}
    settings.STORAGES = {**settings.STORAGES, "default": options}


@pytest.fixture
def film(build: Build, owner: User, now: datetime) -> Film:
    """A film with two chapters, published."""
    blob = keep_file(SimpleUploadedFile("f", CONTENT), "video/mp4", now, at_most=9_999)
    film = put_film(build.pk, Source(blob), seen=0, token=uuid4(), by=owner, now=now)
    for begins, title in ((0, "Switch on"), (65_000, "Slot 1: <Ember> & orange")):
        mark = Mark(begins, title)
        add_chapter(film.pk, mark, seconds=90.0, token=uuid4(), by=owner, now=now)
    return publish(film.pk, by=owner, now=now)


def test_order_page_shows_film_with_chapters(stranger: Client, url: str, film: Film) -> None:
    text = stranger.get(url).content.decode()
    assert f"{url}film/{film.pk}/play/" in text
    assert f"{url}film/{film.pk}/play/#t=65" in text  # without script it opens there
    assert "Slot 1: &lt;Ember&gt; &amp; orange" in text
    assert "flashing light" in text
    assert f"{url}film/{film.pk}/download/" in text


def test_hilt_page_shows_it_for_good(
    stranger: Client, film: Film, now: datetime, build: Build
) -> None:
    making.finished(build, now)
    hilt = f"/your/hilt/{making.token(making.hilt_link_to(build, now))}/"
    assert f"{hilt}film/{film.pk}/play/" in stranger.get(hilt).content.decode()
    answer = stranger.get(f"{hilt}film/{film.pk}/play/")
    assert b"".join(answer.streaming_content) == CONTENT


def test_played_in_ranges_and_kept_by_nobody_else(stranger: Client, url: str, film: Film) -> None:
    answer = stranger.get(f"{url}film/{film.pk}/play/", headers={"Range": "bytes=10-19"})
    assert (answer.status_code, answer.headers["Content-Range"]) == (206, "bytes 10-19/3000")
    assert b"".join(answer.streaming_content) == CONTENT[10:20]
    assert answer.headers["Cache-Control"] == "private, max-age=600"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    head = stranger.head(f"{url}film/{film.pk}/play/")
    assert head.headers["Content-Length"] == "3000"
    beyond = stranger.get(f"{url}film/{film.pk}/play/", headers={"Range": "bytes=3000-"})
    assert beyond.status_code == 416


def test_kept_as_a_file_with_a_name(stranger: Client, url: str, film: Film, build: Build) -> None:
    answer = stranger.get(f"{url}film/{film.pk}/download/")
    name = f'attachment; filename="copperfen-{build.number:04d}-film.mp4"'
    assert answer.headers["Content-Disposition"] == name
    assert b"".join(answer.streaming_content) == CONTENT


def test_chapters_are_webvtt(stranger: Client, url: str, film: Film) -> None:
    answer = stranger.get(f"{url}film/{film.pk}/chapters/")
    assert answer.headers["Content-Type"] == "text/vtt; charset=utf-8"
    assert parsed(answer.content.decode())[1] == (65_000, 90_000, "Slot 1: <Ember> & orange")


@pytest.mark.parametrize("what", ["play", "download", "chapters", "poster"])
def test_film_that_was_hidden_or_replaced_is_unknown(
    stranger: Client, url: str, film: Film, what: str, owner: User, now: datetime
) -> None:
    take_back(film.pk, by=owner, now=now)
    assert stranger.get(f"{url}film/{film.pk}/{what}/").status_code == 404
    assert f"film/{film.pk}" not in stranger.get(url).content.decode()
    publish(film.pk, by=owner, now=now)
    end_film(film.pk, by=owner, now=now)
    assert stranger.get(f"{url}film/{film.pk}/{what}/").status_code == 404


def test_other_link_does_not_open_it(
    stranger: Client, film: Film, owner: User, now: datetime
) -> None:
    other = making.order(making.customer(now, called="Abel"), now, number="2026-032")
    link = making.link(other, now)
    theirs = f"/your/order/{making.token(link)}/film/{film.pk}/play/"
    assert stranger.get(theirs).status_code == 404
    hilt = making.build(other, owner, now, hilt="Fallow", state=State.INSTALL)
    token = making.token(making.hilt_link_to(hilt, now))
    assert stranger.get(f"/your/hilt/{token}/film/{film.pk}/play/").status_code == 404


def test_revoked_link_opens_nothing(
    stranger: Client, url: str, film: Film, link: PrivateLink, owner: User, now: datetime
) -> None:
    revoke(link, owner, now)
    assert stranger.get(f"{url}film/{film.pk}/play/").status_code == 404


def test_link_elsewhere_tells_that_place_nothing(
    stranger: Client, url: str, build: Build, owner: User, now: datetime
) -> None:
    source = Source(link="https://films.example/watch")
    film = put_film(build.pk, source, seen=0, token=uuid4(), by=owner, now=now)
    publish(film.pk, by=owner, now=now)
    text = stranger.get(url).content.decode()
    assert 'href="https://films.example/watch" rel="noreferrer noopener"' in text
    assert "It lies at films.example, outside this page." in text
    assert stranger.get(f"{url}film/{film.pk}/play/").status_code == 404
