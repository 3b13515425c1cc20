"""Photos: many at a time, each by itself; views in turn; described, shared, taken off."""

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from builds.intake.models import Arrival, Photo, View
from builds.models import Build
from builds.progress.states import State
from shop.models import User
from tests.bench import stands
from tests.bench.pages import part, tap, words
from tests.files.pictures import encoded, picture, upload
from tests.makers import make_arrival, make_build, take_views

pytestmark = pytest.mark.usefixtures("media")


def shot(number: int = 0, name: str = "") -> Any:
    """A photo that no other number has."""
    return upload(encoded(picture(64 + number)), name or f"{number}.jpg")


def broken() -> Any:
    return upload(b"\xff\xd8\xff no picture", "broken.jpg")


@pytest.fixture
def come(owner: User, now: datetime) -> tuple[Build, Arrival]:
    """A build in intake with its parcel."""
    return stands.arrived(owner, now)


@pytest.fixture
def photos(come: tuple[Build, Arrival]) -> str:
    """Where photos of the build are sent."""
    return f"/build/{come[0].number}/photos/"


def test_more_photos_than_one_form_may_hold_are_refused_in_words(
    bench_client: Client, photos: str
) -> None:
    most = settings.DATA_UPLOAD_MAX_NUMBER_FILES
    reply = bench_client.post(photos, {"photos": [broken() for _ in range(most + 1)]})
    assert reply.status_code == 400
    assert f"More than {most} files at once are too many. None was kept" in words(reply)


def test_several_photos_are_kept_at_once(bench_client: Client, photos: str) -> None:
    reply = tap(bench_client, photos, photos=[shot(1), shot(2), shot(3)])
    assert "3 photos kept." in words(reply)
    assert part(reply, "photos").count("<figure") == 3


def test_views_are_taken_in_turn(bench_client: Client, photos: str) -> None:
    tap(bench_client, photos, photos=[shot(1), shot(2)])
    assert [str(photo.view) for photo in Photo.objects.all()] == ["box shut", "box open"]


def test_page_asks_for_the_view_that_comes_next(bench_client: Client, photos: str) -> None:
    shown = words(part(tap(bench_client, photos, photos=[shot()]), "photos"))
    assert "5 views to take , 1 kept." in shown
    assert "Take: box open" in shown


def test_chosen_view_is_kept_in_place_of_the_next(bench_client: Client, photos: str) -> None:
    view = View.objects.get(code="bore-end")
    tap(bench_client, photos, photos=[shot()], view=view.pk)
    assert Photo.objects.get().view == view


def test_broken_photo_is_refused_by_name_and_the_others_kept(
    bench_client: Client, photos: str
) -> None:
    reply = tap(bench_client, photos, photos=[shot(1), broken(), shot(2)])
    assert "2 photos kept. broken.jpg:" in words(reply)
    assert Photo.objects.count() == 2


def test_no_photo_chosen_is_said(bench_client: Client, photos: str) -> None:
    assert "Choose at least one photo." in words(tap(bench_client, photos))


def test_same_bytes_twice_are_one_photo(bench_client: Client, photos: str) -> None:
    tap(bench_client, photos, photos=[shot(1, "a.jpg"), shot(1, "b.jpg")])
    tap(bench_client, photos, photos=[shot(1, "c.jpg")])
    assert Photo.objects.count() == 1


def test_photo_that_is_there_already_is_said_by_name(bench_client: Client, photos: str) -> None:
    reply = tap(bench_client, photos, photos=[shot(1, "a.jpg"), shot(1, "b.jpg")])
    assert "1 photo kept. b.jpg is here already, as “box shut”." in words(reply)
    reply = tap(bench_client, photos, photos=[shot(1, "c.jpg")])
    assert "photo kept" not in words(reply)
    assert "c.jpg is here already, as “box shut”." in words(reply)


def test_photo_that_a_parcel_has_already_is_said_by_name(
    bench_client: Client, come: tuple[Build, Arrival]
) -> None:
    url = f"/intake/{come[1].pk}/photos/"
    tap(bench_client, url, photos=[shot(1)])
    assert "a.jpg is here already" in words(tap(bench_client, url, photos=[shot(1, "a.jpg")]))


def test_script_is_told_that_its_one_photo_is_kept(bench_client: Client, photos: str) -> None:
    reply = bench_client.post(photos, {"photos": shot()}, headers={"X-Photo": "one"})
    assert (reply.status_code, reply.json()) == (200, {"ok": True, "why": "", "said": ""})


def test_script_is_told_that_its_one_photo_was_there(bench_client: Client, photos: str) -> None:
    for _time in range(2):
        reply = bench_client.post(photos, {"photos": shot()}, headers={"X-Photo": "one"})
    assert reply.json()["said"] == "0.jpg is here already, as “box shut”."


def test_script_is_told_why_its_one_photo_is_not(bench_client: Client, photos: str) -> None:
    reply = bench_client.post(photos, {"photos": broken()}, headers={"X-Photo": "one"})
    said = reply.json()
    assert (reply.status_code, said["ok"]) == (422, False)
    assert said["why"].startswith("broken.jpg: ")


def test_photo_of_a_parcel_is_given_to_its_build(
    bench_client: Client, come: tuple[Build, Arrival]
) -> None:
    build, arrival = come
    tap(bench_client, f"/intake/{arrival.pk}/photos/", photos=[shot()])
    assert [build.photos.count(), arrival.photos.count()] == [1, 1]


def test_parcel_does_not_ask_for_views_that_its_build_has(
    bench_client: Client, come: tuple[Build, Arrival], owner: User, now: datetime
) -> None:
    build, arrival = come
    take_views(build, State.INTAKE, owner, now)
    shown = words(part(bench_client.get(f"/intake/{arrival.pk}/"), "photos"))
    assert "to take" not in shown


def test_collected_build_is_not_asked_for_its_packed_box(
    bench_client: Client, owner: User, now: datetime
) -> None:
    stands.views()
    build = make_build(owner, now, State.DISPATCH, leaves_by="collection")
    shown = words(part(bench_client.get(f"/build/{build.number}/"), "photos"))
    assert "packed box" not in shown.replace("none of the list", "").split("Say which view")[0]


def test_hilt_that_has_not_come_is_asked_for_no_views(
    bench_client: Client, owner: User, now: datetime
) -> None:
    stands.views()
    build = make_build(owner, now)
    shown = words(part(bench_client.get(f"/build/{build.number}/"), "photos"))
    assert "to take" not in shown


def test_what_is_older_is_folded_away(
    bench_client: Client, come: tuple[Build, Arrival], photos: str
) -> None:
    reply = tap(bench_client, photos, photos=[shot(number) for number in range(14)])
    assert "2 older photos" in words(part(reply, "photos"))


@pytest.fixture
def photo(bench_client: Client, photos: str) -> Photo:
    """A photo of the build."""
    tap(bench_client, photos, photos=[shot()])
    return Photo.objects.get()


def test_photo_is_described_and_shared(bench_client: Client, photo: Photo) -> None:
    view = View.objects.get(code="side-a")
    fields = {"view": view.pk, "caption": "the dent", "shared": "on"}
    reply = tap(bench_client, f"/photo/{photo.pk}/describe/", "photos", **fields)
    assert "one side the dent shared" in words(part(reply, "photos"))
    photo.refresh_from_db()
    assert (photo.view, photo.caption, photo.shared) == (view, "the dent", True)


def test_photo_is_shared_no_more(bench_client: Client, photo: Photo) -> None:
    Photo.objects.update(shared=True)
    tap(bench_client, f"/photo/{photo.pk}/describe/", view="", caption="")
    photo.refresh_from_db()
    assert not photo.shared


def test_caption_that_is_too_long_is_refused(bench_client: Client, photo: Photo) -> None:
    fields = {"view": "", "caption": "x" * 121}
    reply = tap(bench_client, f"/photo/{photo.pk}/describe/", **fields)
    assert "120 signs at most" in words(reply)
    photo.refresh_from_db()
    assert photo.caption == ""


def test_photo_is_taken_off(bench_client: Client, photo: Photo, media: Path) -> None:
    reply = tap(bench_client, f"/photo/{photo.pk}/drop/", "photos")
    assert "The photo is off." in words(reply)
    assert not Photo.objects.exists()
    assert [path for path in media.rglob("*") if path.is_file()]  # its bytes stay


def test_photo_of_a_parcel_is_described_at_the_parcel(
    bench_client: Client, owner: User, now: datetime
) -> None:
    arrival = make_arrival(owner, now)
    tap(bench_client, f"/intake/{arrival.pk}/photos/", photos=[shot()])
    fields = {"view": "", "caption": "label washed out"}
    reply = tap(bench_client, f"/photo/{Photo.objects.get().pk}/describe/", **fields)
    assert reply.redirect_chain[-1][0] == f"/intake/{arrival.pk}/#photos"
    assert "label washed out" in words(part(reply, "photos"))


def test_stranger_keeps_nothing(stranger: Client, photos: str) -> None:
    assert stranger.post(photos, {"photos": shot()}).url.startswith("/sign-in/")
    assert not Photo.objects.exists()
