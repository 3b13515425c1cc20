"""A real SMTP server for the tests: it keeps what it was given and can be told to refuse."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes, policy
from email.message import EmailMessage

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from tests.servers import free_port


class Received:
    """What came, and how the server is to answer."""

    def __init__(self, delay_s: float = 0.0) -> None:
        self.host, self.port = "127.0.0.1", 0
        self.messages: list[EmailMessage] = []
        self.delay_s = delay_s
        self.answer_rcpt = self.answer_data = ""

    @property
    def url(self) -> str:
        return f"smtp://{self.host}:{self.port}"

    async def handle_RCPT(
        self, server: SMTP, session: Session, envelope: Envelope, address: str, options: list[str]
    ) -> str:
        if not self.answer_rcpt:
            envelope.rcpt_tos.append(address)
        return self.answer_rcpt or "250 OK"

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:
        if self.answer_data:
            return self.answer_data
        content = envelope.content or b""
        raw = content.encode() if isinstance(content, str) else content
        self.messages.append(message_from_bytes(raw, policy=policy.default))
        # The mail is taken before the answer is given: a kill in between makes a repeat.
        await asyncio.sleep(self.delay_s)
        return "250 Taken"


@contextmanager
def running(delay_s: float = 0.0, port: int = 0) -> Iterator[Received]:
    """An SMTP server on a free port of this machine."""
    received = Received(delay_s)
    received.port = port or free_port()
    controller = Controller(received, hostname=received.host, port=received.port)
    controller.start()
    try:
        yield received
    finally:
        controller.stop()
