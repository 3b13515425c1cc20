"""Files from strangers are refused before they lie in the temporary folder."""

from io import RawIOBase
from threading import Event, Thread
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from pytest_django import Settings

from shop.models import User
from shop.web import uploads
from shop.web.access import caller_key
from shop.web.uploads import AT_ONCE, FILES_AT_ONCE, FewBodiesFromStrangers, FilesDoor


def test_stranger_leaves_no_file(stranger: Client) -> None:
    big = SimpleUploadedFile("p.jpg", b"x" * 200_000)
    assert stranger.post("/sign-in/", {"email": "a@example.com", "p": big}).status_code == 400


def test_small_form_of_a_stranger_is_read(stranger: Client) -> None:
    assert (
        stranger.post("/sign-in/", {"email": "a@example.com", "password": "x"}).status_code == 422
    )


class Slow(RawIOBase):
    """A body of which nothing comes until it is let go."""

    def __init__(self) -> None:
        self.begun, self.go = Event(), Event()

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int:
        self.begun.set()
        self.go.wait(10)
        return 0


def _slow(rf: RequestFactory) -> tuple[HttpRequest, Slow]:
    request, body = rf.post("/sign-in/", {"email": "a@example.com"}), Slow()
    request.META["CONTENT_LENGTH"], request.user = "20", AnonymousUser()
    request._stream = body  # type: ignore[assignment]
    return request, body


def test_slow_bodies_of_strangers_leave_threads_for_others(rf: RequestFactory, owner: User) -> None:
    middleware = FewBodiesFromStrangers(lambda _request: HttpResponse("read"))
    slow = [_slow(rf) for _ in range(AT_ONCE)]
    threads = [Thread(target=middleware, args=[request]) for request, _body in slow]
    for thread, (_request, body) in zip(threads, slow, strict=True):
        thread.start()
        assert body.begun.wait(5)
    another, _body = _slow(rf)
    assert middleware(another).status_code == 503
    another.user = owner
    assert middleware(another).content == b"read"
    for thread, (_request, body) in zip(threads, slow, strict=True):
        body.go.set()
        thread.join(5)
    fresh = rf.post("/sign-in/", {"email": "a@example.com"})
    fresh.user = AnonymousUser()
    assert middleware(fresh).content == b"read"


def test_caller_is_who_the_proxy_says(rf: RequestFactory, settings: Settings) -> None:
    request = rf.get("/", headers={"X-Real-IP": "192.0.2.7"})
    assert caller_key(request) == "127.0.0.1"
    settings.CALLER_HEADER = "X-Real-IP"
    assert caller_key(request) == "192.0.2.7"


def test_files_by_a_door_hold_two_threads_at_most(
    rf: RequestFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(uploads, "_door", lambda _request: FilesDoor(1_000_000, bool))
    go, begun = Event(), [Event() for _ in range(FILES_AT_ONCE)]
    waiting = iter(begun)

    def take(_request: HttpRequest) -> HttpResponse:
        next(waiting).set()
        go.wait(10)
        return HttpResponse("kept")

    middleware = FewBodiesFromStrangers(take)
    threads = [Thread(target=middleware, args=[_sending(rf)]) for _each in begun]
    for thread, each in zip(threads, begun, strict=True):
        thread.start()
        assert each.wait(5)
    assert middleware(_sending(rf)).status_code == 503
    go.set()
    for thread in threads:
        thread.join()


def _sending(rf: RequestFactory) -> HttpRequest:
    big = SimpleUploadedFile("hum.wav", b"x" * 200_000)
    request = rf.post("/door/", {"sounds": big})
    request.user = AnonymousUser()
    return request
