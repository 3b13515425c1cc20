"""A connection on which nothing moves is ended; what a process opened itself is let be."""

import socket
from collections.abc import Iterator
from contextlib import suppress

import pytest

from shop.web.idle import end_idle

Ends = tuple[socket.socket, socket.socket]


@pytest.fixture
def taken() -> Iterator[Ends]:
    """Both ends of a connection that this process took at its door."""
    with (
        socket.create_server(("127.0.0.1", 0)) as door,
        socket.create_connection(door.getsockname()) as theirs,
    ):
        ours, _address = door.accept()
        with ours:
            theirs.settimeout(5)
            theirs.sendall(b"POST / HTTP/1.1")
            assert ours.recv(100)
            yield ours, theirs


def test_what_nothing_came_by_is_ended(taken: Ends) -> None:
    ours, theirs = taken
    assert end_idle(silent_ms=-1, unread_ms=-1) >= 1
    assert theirs.recv(1) == b""
    assert ours.recv(1) == b""


def test_what_moved_just_now_goes_on(taken: Ends) -> None:
    ours, theirs = taken
    end_idle(silent_ms=60_000, unread_ms=60_000)
    ours.sendall(b"still here")
    assert theirs.recv(100) == b"still here"


def test_answer_that_nobody_takes_is_ended_sooner(taken: Ends) -> None:
    ours, _theirs = taken
    ours.setblocking(False)
    with suppress(BlockingIOError):
        while ours.send(bytes(65_536)):
            pass
    assert end_idle(silent_ms=60_000, unread_ms=-1) >= 1
    with pytest.raises(BrokenPipeError):
        ours.send(b"more")


def test_what_this_process_opened_itself_is_let_be() -> None:
    with socket.create_server(("127.0.0.1", 0)) as door:
        # As to a database: its own end has no door of this process.
        asked = socket.create_connection(door.getsockname())
        answers, _address = door.accept()
        door.close()
        with asked, answers:
            end_idle(silent_ms=-1, unread_ms=-1)
            answers.sendall(b"a row")
            assert asked.recv(100) == b"a row"
