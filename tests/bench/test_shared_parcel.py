"""A parcel with two hilts, and one that nobody has placed."""

from datetime import datetime

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.intake.models import Arrival, ConditionNote, Photo
from builds.models import Build, Place
from builds.progress.states import State
from shop.history.models import Entry
from shop.models import User
from tests.bench.pages import part, tap, words
from tests.makers import make_arrival, make_blob, make_build

Two = tuple[Build, Build]


@pytest.fixture
def parcel(owner: User, now: datetime) -> Arrival:
    return make_arrival(owner, now)


@pytest.fixture
def two(parcel: Arrival, owner: User, now: datetime) -> Two:
    """Two builds whose hilts came in one parcel."""
    first, second = make_build(owner, now, State.INTAKE), make_build(owner, now, State.INTAKE)
    for each in (first, second):
        intake.match(parcel, each, owner, now)
    return first, second


@pytest.fixture
def photo(parcel: Arrival, two: Two, owner: User, now: datetime) -> Photo:
    """A photo of the shared parcel."""
    return intake.add_photo(make_blob(now), arrival=parcel, by=owner, now=now)


def holders(photo: Photo) -> set[int]:
    """The builds on whose sheets a parcel's photo stands."""
    links = Photo.objects.filter(blob=photo.blob_id, build__isnull=False)
    return set(links.values_list("build", flat=True))


def test_photo_of_a_shared_parcel_stands_on_both_sheets(photo: Photo, two: Two) -> None:
    assert holders(photo) == {two[0].pk, two[1].pk}


def test_photo_of_one_hilt_leaves_the_sheet_of_the_other(
    bench_client: Client, photo: Photo, two: Two
) -> None:
    tap(bench_client, f"/photo/{photo.pk}/only/", only=two[0].number)
    assert holders(photo) == {two[0].pk}
    tap(bench_client, f"/photo/{photo.pk}/only/", only="")
    assert holders(photo) == {two[0].pk, two[1].pk}


def test_each_photo_of_a_shared_parcel_asks_which_hilt_it_shows(
    bench_client: Client, parcel: Arrival, photo: Photo, two: Two
) -> None:
    shown = words(part(bench_client.get(f"/intake/{parcel.pk}/"), "photos"))
    assert f"{two[0].hilt} alone" in shown


def test_photo_of_a_parcel_with_one_hilt_asks_nothing(
    bench_client: Client, parcel: Arrival, owner: User, now: datetime
) -> None:
    intake.match(parcel, make_build(owner, now, State.INTAKE), owner, now)
    intake.add_photo(make_blob(now), arrival=parcel, by=owner, now=now)
    assert "Which hilt" not in bench_client.get(f"/intake/{parcel.pk}/").content.decode()


def test_third_hilt_of_a_parcel_gets_no_photo_of_another_alone(
    photo: Photo, parcel: Arrival, two: Two, owner: User, now: datetime
) -> None:
    intake.show_one_alone(photo, two[0], owner, now)
    third = make_build(owner, now, State.INTAKE)
    intake.match(parcel, third, owner, now)
    assert holders(photo) == {two[0].pk}


def test_photo_of_one_hilt_follows_a_corrected_match(
    photo: Photo, parcel: Arrival, two: Two, owner: User, now: datetime
) -> None:
    intake.show_one_alone(photo, two[0], owner, now)
    right = make_build(owner, now, State.INTAKE)
    intake.rematch(parcel, two[0], right, owner, now)
    assert holders(photo) == {right.pk}
    photo.refresh_from_db()
    assert photo.only == right


def test_photo_shows_no_hilt_that_did_not_come_in_its_parcel(
    bench_client: Client, photo: Photo, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, State.INTAKE)
    reply = tap(bench_client, f"/photo/{photo.pk}/only/", only=other.number)
    assert "is not matched to" in words(reply)


def test_photo_with_a_mark_stays_on_the_sheet_that_the_mark_is_of(
    bench_client: Client, photo: Photo, two: Two, owner: User, now: datetime
) -> None:
    own = Photo.objects.get(blob=photo.blob_id, build=two[1])
    intake.note_condition(
        two[1], section="grip", grade="worn", words="thin", photo=own, mark=(0.5, 0.5),
        by=owner, now=now,
    )  # fmt: skip
    reply = tap(bench_client, f"/photo/{photo.pk}/only/", only=two[0].number)
    assert "is marked on this photo" in words(reply)
    assert holders(photo) == {two[0].pk, two[1].pk}
    assert ConditionNote.objects.get().photo == own


def test_third_parcel_for_one_hilt_is_matched_like_the_first(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INTAKE)
    for _ in range(3):
        tap(bench_client, f"/intake/{make_arrival(owner, now).pk}/match/", build=build.pk)
    assert build.matches.filter(ended_at=None).count() == 3
    shown = part(bench_client.get(f"/build/{build.number}/"), "arrival")
    assert shown.count("<li>") == 3


@pytest.fixture
def shelf(db: None) -> Place:
    return Place.objects.create(name="Shelf C")


def test_box_that_nobody_has_placed_stands_somewhere(
    bench_client: Client, parcel: Arrival, shelf: Place
) -> None:
    tap(bench_client, f"/intake/{parcel.pk}/box/", place=shelf.pk)
    assert "Shelf C" in words(bench_client.get("/intake/"))
    assert Entry.objects.filter(verb="put", about=parcel.about).exists()


def test_matched_hilt_stands_where_its_box_stood(
    parcel: Arrival, shelf: Place, owner: User, now: datetime
) -> None:
    intake.put_box(parcel, shelf, owner, now)
    build = make_build(owner, now, State.INTAKE)
    intake.match(parcel, build, owner, now)
    build.refresh_from_db()
    assert build.place == shelf


def test_hilt_that_has_a_place_keeps_it(
    parcel: Arrival, shelf: Place, owner: User, now: datetime
) -> None:
    own = Place.objects.create(name="Bench left")
    build = make_build(owner, now, State.INTAKE)
    Build.objects.filter(pk=build.pk).update(place=own)
    intake.put_box(parcel, shelf, owner, now)
    intake.match(parcel, build, owner, now)
    build.refresh_from_db()
    assert build.place == own


def test_matched_box_is_moved_on_the_sheet_of_its_hilt(
    bench_client: Client, parcel: Arrival, two: Two, shelf: Place
) -> None:
    reply = tap(bench_client, f"/intake/{parcel.pk}/box/", place=shelf.pk)
    assert "Say on the build" in words(reply)
    assert 'id="where"' not in reply.content.decode()
