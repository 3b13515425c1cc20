"""A body of which no byte comes any more is not waited for without an end."""

from io import BytesIO, RawIOBase
from threading import Event
from typing import Any

import pytest
from django.core.handlers.wsgi import WSGIHandler
from django.test import Client, RequestFactory

from shop.models import House
from shop.web import bodies
from shop.web.bodies import PATIENCE_S, PIECE, Body, patient


class Stalled(RawIOBase):
    """A body of which the first bytes come, and then nothing until the connection ends."""

    def __init__(self, first: bytes = b"") -> None:
        self.first, self.ends = first, Event()

    def read(self, size: int | None = -1) -> bytes:
        first, self.first = self.first, b""
        if not first:
            self.ends.wait(10)
        return first


class Broken(RawIOBase):
    """A body whose connection broke."""

    def read(self, size: int | None = -1) -> bytes:
        raise ConnectionResetError


@pytest.mark.parametrize("size", [-1, 3 * PIECE, PIECE + 1, 5])
def test_body_comes_as_it_was_sent(size: int) -> None:
    sent = bytes(range(256)) * (PIECE // 64)
    assert Body(BytesIO(sent), PATIENCE_S).read(size) == sent[: size if size > 0 else None]


def test_lines_come_one_by_one() -> None:
    body = Body(BytesIO(b"one\ntwo"), PATIENCE_S)
    assert [body.readline(), body.readline(), body.readline()] == [b"one\n", b"two", b""]


def test_nobody_waits_for_what_stalled() -> None:
    stalled = Stalled(b"half")
    body = Body(stalled, patience_s=0.01)
    for _ in range(2):
        with pytest.raises(TimeoutError):
            body.read(100)
    body.close()
    stalled.ends.set()
    assert body._waiting
    body._waiting.join(5)
    assert not body._waiting.is_alive()


def test_what_broke_is_told() -> None:
    with pytest.raises(ConnectionResetError):
        Body(Broken(), PATIENCE_S).read(10)


@pytest.mark.django_db(transaction=True)
def test_form_that_stalls_is_answered(
    house: House, rf: RequestFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bodies, "PATIENCE_S", 0.01)
    environ: dict[str, Any] = rf.post("/sign-in/", {"email": "a@example.com"}).environ
    environ |= {"wsgi.input": Stalled(b"--BoUn"), "CONTENT_LENGTH": "100"}
    said: list[str] = []
    patient(WSGIHandler())(environ, lambda status, _headers: said.append(status))
    assert said == ["400 Bad Request"]
    assert Client().get("/sign-in/").status_code == 200
