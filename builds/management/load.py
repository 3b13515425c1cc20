"""Twenty people at a real shop, for some seconds at each page in turn: ratios, not times.

The people are threads over the standard library's own client, in this one process: they share
the machine with the shop, and so does whatever else runs. What is held against one another is
therefore measured in turn, several times over, in one run.
"""

import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from http.client import HTTPConnection, HTTPException
from importlib import import_module
from itertools import cycle
from pathlib import Path
from statistics import median
from urllib.parse import urlencode
from uuid import uuid4

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.core.management.base import CommandError
from django.db import transaction
from django.urls import reverse

from builds.gates import actions as gates
from builds.management.served import REST_S, memory, served
from builds.models import Build, Move
from builds.progress.actions import Refused
from builds.progress.states import STAGES
from shop import clock, env
from shop.models import User

PEOPLE, WRITERS = 20, 8
TURNS, SECONDS, WRITE_SECONDS = 5, 4.0, 30.0
SEEN, ANEW = "a stage move from the Bench", "a stage move, the gate asked anew"
MEASURING = "builds.management.measuring"
_CSRF = "a" * 32


@dataclass
class Person:
    """One who is signed in, on a connection that stays open."""

    port: int
    session: str
    took: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    wrong: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.connection = HTTPConnection("localhost", self.port, timeout=60)
        cookies = f"{settings.SESSION_COOKIE_NAME}={self.session}; csrftoken={_CSRF}"
        self.headers = {"Cookie": cookies, "X-CSRFToken": _CSRF, "Host": "localhost"}

    def look(self, name: str, address: str) -> None:
        """Ask for a page and read it to its end."""
        self._ask(name, "GET", address, None, 200)

    def do(self, name: str, address: str, **fields: object) -> None:
        """Send a form."""
        self._ask(name, "POST", address, urlencode(fields), 303)

    def deed(self, name: str, address: str, **fields: object) -> None:
        """Send a form as the bench's own script does, with a key by which it is done once."""
        self._ask(name, "POST", address, urlencode(fields), 303, {"X-Deed": str(uuid4())})

    def _ask(
        self,
        name: str,
        how: str,
        address: str,
        body: str | None,
        wanted: int,
        more: Mapping[str, str] | None = None,
    ) -> None:
        form = {"Content-Type": "application/x-www-form-urlencoded"}
        headers = {**self.headers, **form, **(more or {})}
        begun = time.perf_counter()
        try:
            self.connection.request(how, address, body, headers if body else self.headers)
            answer = self.connection.getresponse()
            text = answer.read()
        except (OSError, HTTPException) as error:
            self.wrong.append(f"{name}: {error!r}")
            self.connection.close()
            return
        self.took[name].append(time.perf_counter() - begun)
        if answer.status != wanted:
            self.wrong.append(f"{name}: {answer.status} {text[:80]!r}")


def load(folder: str, port: int) -> Iterator[str]:
    """Lines that say how the shop does under twenty people, and what it holds at rest."""
    with served(Path(folder), port, MEASURING):
        people = [Person(port, each) for each in sessions(PEOPLE)]
        people[0].look("warm", reverse("bench_bench"))
        yield from _reading(people)
        yield from _moving(people)
        yield from _writing(people[:WRITERS])
        yield from _wrong(people)
        sign_out(people)


def at_rest(folder: str, port: int) -> Iterator[str]:
    """What a start holds when nobody asks for anything."""
    with served(Path(folder), port, "shop.settings") as launcher:
        time.sleep(REST_S)
        found = list(memory(launcher))
    for words, pss, rss in found:
        yield f"  {pss:6.1f} MB of its own share, {rss:6.1f} MB resident: {words}"
    pss, rss = sum(each[1] for each in found), sum(each[2] for each in found)
    yield f"memory of start at rest: {pss:.0f} MB (PSS), {rss:.0f} MB (RSS, shared counted twice)"


def sessions(count: int) -> list[str]:
    """Sign the owner in so many times; the keys of the sessions."""
    owner = User.objects.filter(role="owner", is_active=True).first()
    if owner is None:
        raise CommandError("The shop is not set up. Fill it first: `manage.py fill --builds 100`.")
    made = []
    for _each in range(count):
        store = import_module(settings.SESSION_ENGINE).SessionStore()
        store[SESSION_KEY] = str(owner.pk)
        store[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[0]
        store[HASH_SESSION_KEY] = owner.get_session_auth_hash()
        store.create()
        made.append(str(store.session_key))
    return made


def sign_out(people: list[Person]) -> None:
    """End the sessions that were made for measuring."""
    for person in people:
        import_module(settings.SESSION_ENGINE).SessionStore(person.session).delete()


def _together(people: list[Person], seconds: float, deed: Callable[[Person], None]) -> float:
    """Everyone does a deed over and over; how many deeds a second in all."""
    until, counts = time.monotonic() + seconds, [0] * len(people)

    def go_on(place: int, person: Person) -> None:
        while time.monotonic() < until:
            deed(person)
            counts[place] += 1

    begun = time.monotonic()
    threads = [threading.Thread(target=go_on, args=each) for each in enumerate(people)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sum(counts) / (time.monotonic() - begun)


def _reading(people: list[Person]) -> Iterator[str]:
    pages = {
        "bare page of as many rows": "/measure/rows/",
        "Django’s own list": "/measure/list/builds/build/",
        "Bench": reverse("bench_bench"),
        "Today": reverse("bench_today"),
        "Build sheet": reverse("bench_sheet", args=[2]),
        "Dispatch day": reverse("bench_dispatch"),
        "search": f"{reverse('desk_find')}?q=Weir",
    }
    rates: dict[str, list[float]] = defaultdict(list)
    for _turn in range(TURNS):
        for name, address in pages.items():

            def deed(person: Person, name: str = name, address: str = address) -> None:
                person.look(name, address)

            rates[name].append(_together(people, SECONDS, deed))
    first, second = list(pages)[:2]
    yield f"{PEOPLE} people, {TURNS} times {SECONDS:.0f} s at each page, in turn:"
    for name in pages:
        took = [each for person in people for each in person.took[name]]
        to_bare, to_list = (median(rates[each]) / median(rates[name]) for each in (first, second))
        yield (
            f"  {name}: {median(rates[name]):.1f} a second, median {median(took) * 1000:.0f} ms, "
            f"{to_bare:.2f} of the bare page, {to_list:.2f} of Django’s list"
        )


def movable() -> list[Build]:
    """Open builds that may move on as they stand."""
    by, found = User.objects.get(role="owner"), []
    for build in Build.objects.filter(state__in=STAGES):
        with transaction.atomic():
            try:
                gates.advance(
                    build.pk, token=uuid4(), expected=build.state, by=by, now=clock.now()
                )  # fmt: skip
                found.append(build)
            except (Refused, gates.Refused):
                pass
            transaction.set_rollback(True)
    return found


def _moving(people: list[Person]) -> Iterator[str]:
    """One person moves builds on and takes it back, beside a bare update of one row.

    Once as the bench was looked at before, as by a person; once straight after another write, so
    that the gate is asked anew.
    """
    person, builds = people[0], movable()
    if not builds:
        yield "no build may move on as it stands: a move is not measured"
        return
    until, turns = time.monotonic() + TURNS * SECONDS, cycle(builds)
    while time.monotonic() < until:
        build = next(turns)
        for name in (SEEN, ANEW):
            person.do("bare update", f"/measure/update/{build.number}/", x=1)
            if name == SEEN:
                person.look("Bench after a write", reverse("bench_bench"))
            _move_and_undo(person, build, name)
    update = median(person.took["bare update"])
    for name in (SEEN, ANEW):
        move = median(person.took[name])
        yield (
            f"{name}, {len(person.took[name])} times: {move * 1000:.1f} ms, a bare update of "
            f"one row {update * 1000:.1f} ms, ratio {move / update:.2f}"
        )
    yield f"  the Bench after a write: {median(person.took['Bench after a write']) * 1000:.1f} ms"


def _move_and_undo(person: Person, build: Build, name: str) -> None:
    token, address = uuid4(), reverse("bench_move", args=[build.number])
    person.deed(name, address, token=token, expected=build.state)
    made = Move.objects.filter(token=token).first()
    if made:
        person.deed("undo", reverse("bench_undo", args=[made.pk]), token=uuid4())


def _writing(people: list[Person]) -> Iterator[str]:
    """Everyone writes at once: what was said to a customer, on a build of their own."""
    numbers = Build.objects.filter(state__in=STAGES).order_by("pk").values_list("number", flat=True)
    own = dict(zip(map(id, people), cycle(numbers), strict=False))

    def deed(person: Person) -> None:
        address = reverse("bench_tell_said", args=[own[id(person)]])
        words = {"occasion": "free", "words": "It goes well.", "how": "telephone"}
        person.deed("write", address, token=uuid4(), **words)

    rate = _together(people, WRITE_SECONDS, deed)
    took = sorted(each for person in people for each in person.took["write"])
    yield (
        f"{len(people)} people writing for {WRITE_SECONDS:.0f} s: {rate:.1f} deeds a second, "
        f"median {median(took) * 1000:.0f} ms, the slowest {took[-1] * 1000:.0f} ms"
    )
    log = env.data_dir() / "logs"
    locked = sum(
        each.read_text(errors="replace").count("database is locked") for each in log.glob("*")
    )
    yield f"  “database is locked” in the shop’s own logs: {locked}"


def _wrong(people: list[Person]) -> Iterator[str]:
    wrong = [each for person in people for each in person.wrong]
    yield f"answers that were not as they should be: {len(wrong)}"
    for each in wrong[:5]:
        yield f"  {each}"
