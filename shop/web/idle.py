"""Ends connections on which nothing moves any more.

The server waits without an end for the rest of a body, and for whoever reads an answer: a tablet
that left the Wi-Fi half-way through a photo, or a film that somebody paused, would each hold one
of its few threads until the next start. What the system knows of a connection tells them apart
from those that are only slow. Linux alone; elsewhere nothing is ended.
"""

import fcntl
import os
import socket
import stat
import struct
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Thread

SILENT_MS = 120_000  # no answer takes so long to begin
UNREAD_MS = 30_000  # while bytes of an answer wait to be taken
LOOK_EVERY_S = 10.0
_FDS = "/proc/self/fd"
_INFO = struct.Struct("8x13I")  # struct tcp_info, as far as it is asked for
_SENT, _RECEIVED, _HEARD = 9, 11, 12  # ms since data left, data came, the other end said so
_UNSENT = 0x5411  # asks how many bytes the other end has not taken (SIOCOUTQ)


def watch() -> None:
    """Look every few seconds, for as long as the process runs."""
    if hasattr(socket, "TCP_INFO") and os.path.isdir(_FDS):
        Thread(target=_look_on, daemon=True).start()


def _look_on() -> None:
    while True:
        time.sleep(LOOK_EVERY_S)
        end_idle(SILENT_MS, UNREAD_MS)


def end_idle(silent_ms: int, unread_ms: int) -> int:
    """End what was idle for so long among the connections that this process took; how many."""
    with _own_sockets() as found:
        ports = {one.getsockname()[1] for one in found if _listens(one)}
        taken = [one for one in found if not _listens(one) and one.getsockname()[1] in ports]
        idle = [one for one in taken if _is_idle(one, silent_ms, unread_ms)]
        for one in idle:
            with suppress(OSError):  # it ended by itself
                one.shutdown(socket.SHUT_RDWR)
        return len(idle)


@contextmanager
def _own_sockets() -> Iterator[list[socket.socket]]:
    """The sockets of this process, each by a number of our own: the server may close its own."""
    found: list[socket.socket] = []
    try:
        for name in os.listdir(_FDS):
            with suppress(OSError):
                if stat.S_ISSOCK(os.stat(f"{_FDS}/{name}").st_mode):
                    found.append(socket.socket(fileno=os.dup(int(name))))
        yield [one for one in found if one.family in {socket.AF_INET, socket.AF_INET6}]
    finally:
        for one in found:
            one.close()


def _listens(one: socket.socket) -> bool:
    return bool(one.getsockopt(socket.SOL_SOCKET, socket.SO_ACCEPTCONN))


def _is_idle(one: socket.socket, silent_ms: int, unread_ms: int) -> bool:
    try:
        info = _INFO.unpack(one.getsockopt(socket.IPPROTO_TCP, socket.TCP_INFO, _INFO.size))
        (unread,) = struct.unpack("i", fcntl.ioctl(one, _UNSENT, bytes(4)))
    except OSError:  # it ended by itself
        return False
    # Of an answer on its way both are young; who paused it takes nothing, who is gone says nothing.
    longest = unread_ms if unread else silent_ms
    is_idle: bool = info[_RECEIVED] > longest and max(info[_SENT], info[_HEARD]) > longest
    return is_idle
