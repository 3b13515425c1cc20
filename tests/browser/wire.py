"""The way between a tablet and the shop, which a test cuts."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Thread

from tests.servers import free_port

PIECE = 65536


class Wire:
    """Hands on what comes at its port.

    Cut, it takes nothing; deaf, it hands deeds on to the shop and loses the answers.
    """

    def __init__(self, shop_port: int) -> None:
        self.shop_port = shop_port
        self.port = free_port()
        self.is_cut = self.is_deaf = False
        self.lost_answers = 0
        self._both: list[socket.socket] = []
        self._door: socket.socket | None = None

    @property
    def base(self) -> str:
        """The shop's address by this way."""
        return f"http://127.0.0.1:{self.port}"

    def cut(self) -> None:
        """Nothing goes through any more."""
        self.is_cut = True
        if self._door:
            # A thread that waits in accept() would keep the port: it must be woken.
            with suppress(OSError):
                self._door.shutdown(socket.SHUT_RDWR)
            self._door.close()
        for end in self._both:
            _end(end)
        self._both.clear()

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
            try:
                shop = socket.create_connection(("127.0.0.1", self.shop_port))
            except OSError:  # it is down
                _end(tablet)
                continue
            self._both += [tablet, shop]
            said = [b""]
            Thread(target=self._ask, args=[tablet, shop, said], daemon=True).start()
            Thread(target=self._answer, args=[tablet, shop, said], daemon=True).start()

    def _ask(self, tablet: socket.socket, shop: socket.socket, said: list[bytes]) -> None:
        with suppress(OSError):
            while piece := tablet.recv(PIECE):
                if piece.startswith((b"GET ", b"POST ")):
                    said[0] = piece[:5]
                shop.sendall(piece)
        _end(shop)

    def _answer(self, tablet: socket.socket, shop: socket.socket, said: list[bytes]) -> None:
        with suppress(OSError):
            while piece := shop.recv(PIECE):
                if self.is_deaf and said[0] == b"POST ":
                    self.lost_answers += 1
                    break
                tablet.sendall(piece)
        _end(tablet)
        _end(shop)


def _end(one: socket.socket) -> None:
    with suppress(OSError):
        one.shutdown(socket.SHUT_RDWR)
    one.close()


@contextmanager
def wire_to(shop_port: int) -> Iterator[Wire]:
    """A way to a shop, open at first."""
    wire = Wire(shop_port)
    wire.mend()
    try:
        yield wire
    finally:
        wire.cut()
