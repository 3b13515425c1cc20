"""Reads what is sent to the shop; where no byte comes any more, nobody is waited for.

The server would wait for the rest of a body without an end: a tablet that left the Wi-Fi half-way
through a photo, or a phone its network, would hold one of the few threads until the next start.
So a thread that costs nothing waits in its place, and ends with the connection.
"""

from collections.abc import Callable, Iterable
from contextlib import closing
from functools import partial
from queue import Empty, SimpleQueue
from threading import Thread
from typing import Any

PATIENCE_S = 60.0
PIECE = 16 * 1024  # bytes that the slowest line brings within that
Application = Callable[[dict[str, Any], Any], Iterable[bytes]]


class Body:
    """Stands in for ``wsgi.input``."""

    def __init__(self, raw: Any, patience_s: float) -> None:
        self._raw, self._patience_s = raw, patience_s
        self._asked: SimpleQueue[Callable[[], bytes] | None] = SimpleQueue()
        self._came: SimpleQueue[bytes | Exception] = SimpleQueue()
        self._waiting: Thread | None = None
        self._is_lost = False

    def read(self, size: int = -1) -> bytes:
        """So many bytes, or what there is until the end.

        :raises TimeoutError: nothing comes any more.
        """
        came = bytearray()
        while size < 0 or len(came) < size:
            wanted = PIECE if size < 0 else min(PIECE, size - len(came))
            piece = self._waited_for(partial(self._raw.read, wanted))
            if not piece:
                break
            came += piece
        return bytes(came)

    def readline(self, size: int = -1) -> bytes:
        """A line; as ``read``."""
        return self._waited_for(partial(self._raw.readline, size))

    def close(self) -> None:
        """Read no more; whoever waits still goes with the connection."""
        self._asked.put(None)

    def _waited_for(self, reading: Callable[[], bytes]) -> bytes:
        if self._is_lost:
            raise TimeoutError
        if self._waiting is None:
            self._waiting = Thread(target=self._wait, daemon=True)
            self._waiting.start()
        self._asked.put(reading)
        try:
            came = self._came.get(timeout=self._patience_s)
        except Empty:
            self._is_lost = True
            raise TimeoutError("nothing of the body comes any more") from None
        if isinstance(came, Exception):
            raise came
        return came

    def _wait(self) -> None:
        while reading := self._asked.get():
            try:
                self._came.put(reading())
            except Exception as error:  # told to whoever reads
                self._came.put(error)


def patient(application: Application) -> Application:
    """Have an application read bodies so."""

    def answered(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        if environ.get("CONTENT_LENGTH", "0") in {"", "0"}:
            return application(environ, start_response)
        with closing(Body(environ["wsgi.input"], PATIENCE_S)) as body:
            return application({**environ, "wsgi.input": body}, start_response)

    return answered
