"""A deed with a key is done once, however often it comes, and only for whom it belongs to."""

from datetime import datetime, timedelta
from io import BytesIO
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client

from builds.models import Build, Photo
from builds.progress.models import Move, Stretch
from builds.progress.states import State
from builds.teardown.models import TakenOut
from shop import clock
from shop.later.actions import forget_old
from shop.later.models import KEPT, Deed
from shop.models import User
from tests.makers import at_once, check_cell, make_build


@pytest.fixture
def build(bench_hand: User, now: datetime) -> Build:
    made = make_build(bench_hand, now, State.TEARDOWN)
    check_cell(made, bench_hand, now)
    return made


@pytest.fixture
def in_intake(bench_hand: User, now: datetime) -> Build:
    return make_build(bench_hand, now, State.INTAKE)


def tick(build: Build, token: object = None) -> dict[str, Any]:
    """A tap that says that the cell is out."""
    return {
        "path": f"/build/{build.number}/apart/out/",
        "data": {"what": "cell", "is_out": "yes", "token": str(token or uuid4())},
    }


def later(who: User, key: object, **more: str) -> dict[str, str]:
    """The headers of a deed that waited in a browser."""
    return {"X-Deed": str(key), "X-Deed-Asks": "words", "X-Deed-By": str(who.pk), **more}


def test_same_key_twice_is_done_once(bench_client: Client, bench_hand: User, build: Build) -> None:
    key = uuid4()
    first = bench_client.post(**tick(build), headers={"X-Deed": str(key)})
    assert first.status_code == 303
    # Another token, as a page that was opened anew would send: the key alone holds.
    again = bench_client.post(**tick(build), headers=later(bench_hand, key))
    assert again.status_code == 200
    assert "why" not in again.json()
    assert TakenOut.objects.count() == 1
    assert Deed.objects.get().by == bench_hand


def test_deed_that_comes_again_leads_to_no_other_host(bench_client: Client, build: Build) -> None:
    headers = {"X-Deed": str(uuid4()), "Referer": "http://testserver//elsewhere.example/x"}
    answers = [bench_client.post(**tick(build), headers=headers) for _ in range(2)]
    assert answers[1]["Location"] == "/%2Felsewhere.example/x"


def test_words_come_with_the_answer_and_not_with_the_next_page(
    bench_client: Client, bench_hand: User, in_intake: Build
) -> None:
    data = {"expected": State.INTAKE, "token": str(uuid4())}
    path = f"/build/{in_intake.number}/timed/"
    answer = bench_client.post(path, data, headers=later(bench_hand, uuid4()))
    assert "The timer runs on" in answer.json()["said"]
    assert "The timer runs on" not in bench_client.get("/bench/").content.decode()


def test_refusal_is_told_and_leaves_no_key(
    bench_client: Client, bench_hand: User, build: Build
) -> None:
    data = {"expected": State.INTAKE, "token": str(uuid4())}
    path = f"/build/{build.number}/move/"
    answer = bench_client.post(path, data, headers=later(bench_hand, uuid4()))
    assert answer.status_code == 409
    assert answer.json()["why"]
    assert not Deed.objects.exists()
    assert not Move.objects.filter(build=build, token=data["token"]).exists()


def test_form_that_is_wrong_comes_back_and_leaves_no_key(
    bench_client: Client, bench_hand: User, build: Build
) -> None:
    path = f"/build/{build.number}/cell/"
    answer = bench_client.post(
        path, {"result": "good", "volts": "a lot"}, headers=later(bench_hand, uuid4())
    )
    assert answer.status_code == 422
    assert not Deed.objects.exists()


def test_plain_form_learns_where_to_go_and_words_stay_for_that_page(
    bench_client: Client, in_intake: Build
) -> None:
    headers = {"X-Deed": str(uuid4()), "X-Deed-Asks": "where"}
    data = {"expected": State.INTAKE, "token": str(uuid4())}
    answer = bench_client.post(f"/build/{in_intake.number}/timed/", data, headers=headers)
    assert answer.json() == {"to": f"/build/{in_intake.number}/#worked"}
    assert "The timer runs on" in bench_client.get("/bench/").content.decode()


def test_deed_is_not_done_for_another_person(
    bench_client: Client, owner: User, build: Build
) -> None:
    answer = bench_client.post(**tick(build), headers=later(owner, uuid4()))
    assert answer.status_code == 409
    assert answer.json()["whose"]
    assert not TakenOut.objects.exists()


def test_stranger_is_told_to_sign_in(client: Client, bench_hand: User, build: Build) -> None:
    answer = client.post(**tick(build), headers=later(bench_hand, uuid4()))
    assert answer.status_code == 401
    assert not Deed.objects.exists()


@pytest.mark.parametrize("size", [1_000, 200_000])
def test_photo_of_a_stranger_is_not_led_to_the_sign_in(
    client: Client, bench_hand: User, build: Build, size: int
) -> None:
    answer = _photo_later(client, bench_hand, build, size)
    assert answer.status_code == 401
    assert answer.json()["why"] == "Sign in to send it."


def test_photo_is_not_kept_for_another_person(
    bench_client: Client, owner: User, build: Build
) -> None:
    answer = _photo_later(bench_client, owner, build, 1_000)
    assert answer.status_code == 409
    assert answer.json()["whose"]
    assert not Photo.objects.exists()


def _photo_later(client: Client, who: User, build: Build, size: int) -> Any:
    """A photo that waited: it has no key, since the same bytes twice are one photo."""
    headers = {"X-Photo": "one", "X-Deed-Asks": "words", "X-Deed-By": str(who.pk)}
    photo = SimpleUploadedFile("a.jpg", b"x" * size)
    return client.post(f"/build/{build.number}/photos/", {"photos": photo}, headers=headers)


def test_key_that_is_none_changes_nothing(bench_client: Client, build: Build) -> None:
    answer = bench_client.post(**tick(build), headers={"X-Deed": "'; --"})
    assert answer.status_code == 303
    assert not Deed.objects.exists()
    assert TakenOut.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_body_is_read_before_the_database_is_locked(bench_hand: User, build: Build) -> None:
    client, seen = Client(), list[bool]()
    client.force_login(bench_hand)

    class Body(BytesIO):
        """What a tablet sends; it may stall at any byte of it."""

        def read(self, size: int | None = -1) -> bytes:
            seen.append(connection.in_atomic_block)
            return super().read(size)

    tap = tick(build)
    body = urlencode(tap["data"]).encode()
    answer = client.request(
        PATH_INFO=tap["path"],
        REQUEST_METHOD="POST",
        CONTENT_TYPE="application/x-www-form-urlencoded",
        CONTENT_LENGTH=str(len(body)),
        HTTP_X_DEED=str(uuid4()),
        **{"wsgi.input": Body(body)},
    )
    assert answer.status_code == 303
    assert TakenOut.objects.count() == Deed.objects.count() == 1
    assert seen
    assert not any(seen)


def test_door_says_who_is_there(client: Client, bench_client: Client, bench_hand: User) -> None:
    assert client.get("/later/who/").json() == {"who": None}
    there = bench_client.get("/later/who/").json()
    assert there["who"] == bench_hand.pk
    assert there["csrf"]


@pytest.mark.django_db(transaction=True)
def test_two_that_come_at_once_are_one(bench_hand: User, build: Build) -> None:
    key = uuid4()
    clients = [Client(), Client()]
    for client in clients:
        client.force_login(bench_hand)

    def post(client: Client) -> int:
        return client.post(**tick(build), headers=later(bench_hand, key)).status_code

    assert at_once(*[lambda client=client: post(client) for client in clients]) == [200, 200]
    assert TakenOut.objects.count() == 1


def test_old_keys_are_let_go(bench_client: Client, build: Build) -> None:
    bench_client.post(**tick(build), headers={"X-Deed": str(uuid4())})
    done = Deed.objects.get()
    forget_old(done.done_at + KEPT - timedelta(hours=1))
    assert Deed.objects.exists()
    forget_old(done.done_at + KEPT + timedelta(hours=1))
    assert not Deed.objects.exists()


def test_timer_begins_when_it_was_tapped(
    bench_client: Client, bench_hand: User, in_intake: Build
) -> None:
    data = {"expected": State.INTAKE, "token": str(uuid4())}
    headers = later(bench_hand, uuid4(), **{"X-Deed-Age": "1500"})
    before = clock.now()
    Build.objects.filter(pk=in_intake.pk).update(state_since=before - timedelta(hours=1))
    bench_client.post(f"/build/{in_intake.number}/timed/", data, headers=headers)
    begun = Stretch.objects.get(build=in_intake).begun_at
    assert timedelta(minutes=24) < before - begun <= timedelta(minutes=25)
