"""A mail server that breaks off where it is told to: raw, since no good server would do it."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field

# Where it breaks off: before it answers this, it closes or falls silent.
AFTER_DATA, HALF_BODY, AFTER_BODY = "after-data", "half-body", "after-body"
NOTHING_BREAKS = ""


@dataclass
class Breaking:
    """How it is to behave, and what it took for good."""

    breaks_at: str = NOTHING_BREAKS
    is_silent: bool = False  # hang instead of closing
    answer_rcpt: str = "250 fine"
    answer_body: str = "250 taken"
    port: int = 0
    taken: list[bytes] = field(default_factory=list)
    calls: int = 0

    @property
    def url(self) -> str:
        return f"smtp://127.0.0.1:{self.port}"

    def serve(self, line: socket.socket) -> None:
        """One connection."""
        self.calls += 1
        line.settimeout(20)
        reader = line.makefile("rb")
        line.sendall(b"220 mail.example\r\n")
        for command in iter(reader.readline, b""):
            word = command[:4].upper()
            if word == b"DATA":
                if not self._data(line, reader):
                    return
                continue
            answer = self.answer_rcpt if word == b"RCPT" else "250 fine"
            line.sendall(f"{answer}\r\n".encode())
            if word == b"QUIT":
                return

    def _data(self, line: socket.socket, reader: object) -> bool:
        if self.breaks_at == AFTER_DATA:
            return self._break()
        line.sendall(b"354 go on\r\n")
        body = b""
        for part in iter(reader.readline, b""):
            body += part
            if self.breaks_at == HALF_BODY and len(body) > 40:
                return self._break()
            if part == b".\r\n":
                break
        # It has it now, and owes the answer.
        if self.answer_body.startswith("2"):
            self.taken.append(body)
        if self.breaks_at == AFTER_BODY:
            return self._break()
        line.sendall(f"{self.answer_body}\r\n".encode())
        return True

    def _break(self) -> bool:
        if self.is_silent:
            threading.Event().wait(6)
        return False


@contextmanager
def breaking() -> Iterator[Breaking]:
    """One on a free port of this machine."""
    found = Breaking()
    with socket.create_server(("127.0.0.1", 0)) as listener:
        found.port = listener.getsockname()[1]
        threading.Thread(target=_accept, args=(listener, found), daemon=True).start()
        yield found


def _accept(listener: socket.socket, found: Breaking) -> None:
    with suppress(OSError):
        while True:
            line, _address = listener.accept()
            threading.Thread(target=_one, args=(line, found), daemon=True).start()


def _one(line: socket.socket, found: Breaking) -> None:
    with suppress(OSError), line:
        found.serve(line)
