"""The way between a tablet and the shop, which a test cuts; with TLS, as behind a proxy."""

import socket
import ssl
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from select import select
from threading import Thread

from tests.servers import free_port

PIECE = 65536
DEEDS = (b"POST ",)


class Wire:
    """Hands on what comes at its port.

    Cut, it takes nothing; deaf, it hands deeds on to the shop and loses the answers.
    """

    def __init__(self, shop_port: int, tls: ssl.SSLContext | None = None) -> None:
        self.shop_port = shop_port
        self.port = free_port()
        self.tls = tls
        self.is_cut = self.is_deaf = False
        self.lost_answers = 0
        self._ends: list[socket.socket] = []
        self._door: socket.socket | None = None

    @property
    def base(self) -> str:
        """The shop's address by this way."""
        return f"{'https' if self.tls else 'http'}://127.0.0.1:{self.port}"

    def cut(self) -> None:
        """Nothing goes through any more."""
        self.is_cut = True
        for end in [self._door, *self._ends]:
            if end:
                _end(end)
        self._ends.clear()

    def mend(self) -> None:
        """Everything goes through again."""
        self.is_cut = self.is_deaf = False
        self._door = socket.create_server(("127.0.0.1", self.port))
        Thread(target=self._open, args=[self._door], daemon=True).start()

    def _open(self, door: socket.socket) -> None:
        while not self.is_cut:
            try:
                tablet, _ = door.accept()
            except OSError:
                return
            self._ends.append(tablet)
            Thread(target=self._serve, args=[tablet], daemon=True).start()

    def _serve(self, tablet: socket.socket) -> None:
        with suppress(OSError, ValueError):  # the latter: it was cut between two looks
            if self.tls:
                tablet = self.tls.wrap_socket(tablet, server_side=True)
                self._ends.append(tablet)
            with tablet, socket.create_connection(("127.0.0.1", self.shop_port)) as shop:
                self._ends.append(shop)
                self._pump(tablet, shop)

    def _pump(self, tablet: socket.socket, shop: socket.socket) -> None:
        is_deed = False
        while True:
            waits = isinstance(tablet, ssl.SSLSocket) and tablet.pending()
            ready = [tablet] if waits else select([tablet, shop], [], [])[0]
            for end in ready:
                piece = end.recv(PIECE)
                if not piece:
                    return
                if end is shop:
                    if is_deed and self.is_deaf:
                        self.lost_answers += 1
                        return
                    tablet.sendall(piece)
                    continue
                if piece.startswith((b"GET ", *DEEDS)):
                    is_deed = piece.startswith(DEEDS)
                    if self.tls:  # as a proxy says it
                        piece = piece.replace(b"\r\n", b"\r\nX-Forwarded-Proto: https\r\n", 1)
                shop.sendall(piece)


def _end(one: socket.socket) -> None:
    # A thread that waits in accept(), recv() or select() would keep it: it must be woken.
    with suppress(OSError):
        one.shutdown(socket.SHUT_RDWR)
    with suppress(OSError):
        one.close()


@contextmanager
def wire_to(shop_port: int, tls: ssl.SSLContext | None = None) -> Iterator[Wire]:
    """A way to a shop, open at first."""
    wire = Wire(shop_port, tls)
    wire.mend()
    try:
        yield wire
    finally:
        wire.cut()
