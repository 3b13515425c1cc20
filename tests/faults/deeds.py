"""People who do one deed after the other at a shop, and remember what they were told is kept."""

import json
import random
import re
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from hashlib import sha256
from http.client import HTTPConnection, HTTPException
from itertools import count
from urllib.parse import urlencode
from uuid import uuid4

from tests.files.pictures import encoded, picture

CSRF = "c" * 32
FORM = "application/x-www-form-urlencoded"
PLAIN = (422, 503, 507)  # what a machine in trouble may answer, and in plain words alone
SAID = ("The database does not answer", "The database is busy", "The disk of the shop is full")
_seeds = count(1)


@dataclass
class Told:
    """What was acknowledged, by kind; and what else was answered."""

    kept: dict[str, list[str]] = field(default_factory=dict)
    statuses: Counter[int] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def note(self, kind: str, mark: str, status: int, text: str) -> None:
        """Remember an answer: 303 or 200 is a promise, a plain word is none, all else is wrong."""
        with self.lock:
            self.statuses[status] += 1
            if status in {200, 303}:
                self.kept.setdefault(kind, []).append(mark)
            elif status and not (status in PLAIN and any(words in text for words in SAID)):
                self.wrong.append(f"{kind}: {status} {_said_in(text)}")

    @property
    def count(self) -> int:
        return sum(map(len, self.kept.values()))


@dataclass
class Person:
    """One of the staff, who is signed in."""

    port: int
    session: str
    told: Told

    def look(self, path: str) -> tuple[int, str]:
        """A page: its status, 0 where nobody answers, and its text."""
        return self._ask("GET", path, b"", {})

    def post(self, path: str, body: bytes, kind: str, **headers: str) -> tuple[int, str]:
        """A form: the same of its answer."""
        about = {"Content-Type": kind, "X-CSRFToken": CSRF, **headers}
        return self._ask("POST", path, body, about)

    def _ask(self, how: str, path: str, body: bytes, headers: dict[str, str]) -> tuple[int, str]:
        cookies = {"Cookie": f"sessionid={self.session}; csrftoken={CSRF}"}
        connection = HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.request(how, path, body or None, headers | cookies)
            answer = connection.getresponse()
            if given := re.search(r"sessionid=(\w+)", str(answer.headers.get_all("Set-Cookie"))):
                self.session = given[1]
            return answer.status, answer.read().decode(errors="replace")
        except (OSError, HTTPException):
            return 0, ""
        finally:
            connection.close()

    def sign_in(self) -> None:
        """As whoever was made first, by the password."""
        typed = {"email": "hand-0@larkhill.example", "password": "a long enough phrase"}
        status, text = self.post("/sign-in/", urlencode(typed).encode(), FORM)
        assert status == 302 or status == 303, text

    def send(self, kind: str, mark: str, path: str, /, **fields: object) -> None:
        """Do a deed by its form."""
        self.told.note(kind, mark, *self.post(path, urlencode(fields).encode(), FORM))

    def move(self, build: int, _order: str) -> None:
        token = str(uuid4())
        self.send("move", token, f"/build/{build}/move/", token=token, expected="booked")

    def note(self, build: int, _order: str) -> None:
        words = f"a scratch, {uuid4()}"
        path = f"/build/{build}/condition/"
        self.send("note", words, path, section="grip", grade="worn", words=words)

    def message(self, build: int, _order: str) -> None:
        words, path = f"Of your hilt, {uuid4()}", f"/build/{build}/tell/"
        fields = {"token": uuid4(), "occasion": "free", "subject": words, "body": "All is well."}
        self.send("message", words, path, **fields)

    def pay(self, _build: int, order: str) -> None:
        token, path = str(uuid4()), f"/orders/{order}/money/paid/"
        fields = {"amount": "12.50", "kind": "payment", "way": "transfer"}
        self.send("payment", token, path, token=token, paid_on="2026-01-15", **fields)

    def photo(self, build: int, _order: str) -> None:
        content = encoded(picture(next(_seeds), 420))
        body, kind = form_with(content)
        answer = self.post(f"/build/{build}/photos/", body, kind, **{"X-Photo": "one"})
        self.told.note("photo", sha256(content).hexdigest(), *answer)


def form_with(content: bytes) -> tuple[bytes, str]:
    """A form with one photo, and its media type."""
    edge = "edge-of-the-form"
    head = f'--{edge}\r\nContent-Disposition: form-data; name="photos"; filename="a.jpg"\r\n'
    head += "Content-Type: image/jpeg\r\n\r\n"
    whole = head.encode() + content + f"\r\n--{edge}--\r\n".encode()
    return whole, f"multipart/form-data; boundary={edge}"


def _said_in(page: str) -> str:
    """What is wrong by a page, for whoever reads a test that failed."""
    words = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page.partition("<main")[2] or page))
    return words[:600]


Deed = Callable[[Person, int, str], None]
ALL: tuple[Deed, ...] = (Person.move, Person.note, Person.message, Person.pay, Person.photo)


@dataclass
class Crowd:
    """Several people at work until they are told to stop."""

    port: int
    sessions: list[str]
    builds: list[tuple[int, str]]
    seed: int = 20261126
    told: Told = field(default_factory=Told)

    @classmethod
    def from_words(cls, port: int, said: str) -> "Crowd":
        """The people and builds that ``tests.faults.people`` has told of."""
        known = json.loads(said.splitlines()[-1])
        builds = [(int(number), str(order)) for number, order in known["builds"]]
        return cls(port, known["sessions"], builds)

    def __post_init__(self) -> None:
        self.person = Person(self.port, self.sessions[0], self.told)
        # Each build is moved once: a second move is refused, by 303 as well.
        many = len(self.sessions)
        self.to_move = [iter(self.builds[n:-1:many]) for n in range(many)]

    @property
    def but_moves(self) -> tuple[Deed, ...]:
        """What can be done to a build again and again."""
        return tuple(deed for deed in ALL if deed is not Person.move)

    @contextmanager
    def at_work(self, deeds: tuple[Deed, ...] = ALL) -> Iterator[None]:
        """Let everyone do deeds, each with builds that only they move."""
        stop, many = threading.Event(), len(self.sessions)
        threads = [threading.Thread(target=self._work, args=(n, deeds, stop)) for n in range(many)]
        for thread in threads:
            thread.start()
        try:
            yield
        finally:
            stop.set()
            for thread in threads:
                thread.join(90)
        assert not any(thread.is_alive() for thread in threads), "somebody hangs"

    def _work(self, n: int, deeds: tuple[Deed, ...], stop: threading.Event) -> None:
        dice = random.Random(self.seed + n)  # noqa: S311 – a choice of deeds, no secrets
        person = Person(self.port, self.sessions[n], self.told)
        here: tuple[int, str] | None = self.builds[n]
        while not stop.is_set():
            deed = dice.choice(deeds)
            if deed is Person.move:
                here = next(self.to_move[n], None)
            if here is None:
                here = self.builds[n]
                continue
            before = self.told.count
            deed(person, *here)
            if self.told.count == before:
                time.sleep(0.2)  # nobody is there: a moment, then again

    def do_each(self, deeds: Iterable[Deed] = ALL) -> None:
        """One of each deed, in turn."""
        for deed in deeds:
            deed(self.person, *self.builds[-1])
