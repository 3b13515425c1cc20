"""Looks at pages of one shop when asked to: a child process, so that two shops are seen in turn."""

import gc
import json
import logging
import sys
from collections.abc import Callable, Iterator
from time import perf_counter, process_time
from typing import IO, Any

from django.core.management.base import CommandError
from django.db import connection, transaction
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext

from builds.management import clockwork, pages
from builds.models import Build
from shop import static_files
from shop.models import User
from shop.web.loaded import keep_loaded

Asked = dict[str, Any]


def answer(asks: IO[str], into: IO[str]) -> None:
    """Answer one line of JSON for each that comes, until none comes."""
    with override_settings(ALLOWED_HOSTS=["*"]), transaction.atomic():
        client = signed_in()
        for line in asks:
            asked = json.loads(line)
            into.write(json.dumps(_DEEDS[asked["what"]](client, asked)) + "\n")
            into.flush()
        transaction.set_rollback(True)  # the sign-in is not kept


def signed_in() -> Client:
    """A browser in which the owner is signed in."""
    owner = User.objects.filter(role="owner", is_active=True).first()
    if owner is None:
        raise CommandError("The shop is not set up. Fill it first: `manage.py fill --builds 100`.")
    client = Client(SERVER_NAME="localhost")
    client.force_login(owner)
    return client


def _addresses(client: Client, _asked: Asked) -> dict[str, str]:
    return pages.addresses(client)


def _past(_client: Client, _asked: Asked) -> dict[str, str]:
    return pages.past()


def _five(_client: Client, _asked: Asked) -> dict[str, str]:
    return pages.five()


def _size(_client: Client, _asked: Asked) -> int:
    return Build.objects.count()


def _look(client: Client, asked: Asked) -> dict[str, tuple[int, float, int]]:
    """Name → status, seconds, queries; of each page once."""
    found = {}
    for name, address in asked["pages"].items():
        with CaptureQueriesContext(connection) as took:
            status, seconds = looked(client, address)
        found[name] = (status, seconds, len(took))
    return found


def _time(client: Client, asked: Asked) -> dict[str, list[float]]:
    """Name → seconds, of so many looks at each page in turn."""
    found: dict[str, list[float]] = {name: [] for name in asked["pages"]}
    gc.collect()
    for _round in range(asked["rounds"]):
        for name, address in asked["pages"].items():
            found[name].append(looked(client, address)[1])
    return found


def looked(client: Client, address: str) -> tuple[int, float]:
    """Status and seconds of one look, to its end."""
    # SQLite works in this process: its seconds of the processor tell what else runs apart.
    clock = process_time if connection.vendor == "sqlite" else perf_counter
    begun = clock()
    answer = client.get(address)
    b"".join(answer)
    return answer.status_code, clock() - begun


def _clock(_client: Client, _asked: Asked) -> dict[str, tuple[float, int]]:
    """Name of what the clock does → seconds and queries of one run; nothing of it stays."""
    return dict(_each_task())


def _each_task() -> Iterator[tuple[str, tuple[float, int]]]:
    for name, task in clockwork.TASKS.items():
        with CaptureQueriesContext(connection) as took, transaction.atomic():
            begun = perf_counter()
            task()
            seconds = perf_counter() - begun
            transaction.set_rollback(True)
        yield name, (seconds, len(took))


_DEEDS: dict[str, Callable[[Client, Asked], Any]] = {
    "addresses": _addresses, "past": _past, "five": _five, "size": _size, "look": _look,
    "time": _time, "clock": _clock,
}  # fmt: skip


def main() -> None:
    """What `manage.py measure rounds` does."""
    logging.getLogger("django.request").setLevel(logging.ERROR)  # some addresses are tried in vain
    static_files.collect()
    keep_loaded()  # as the web server does
    answer(sys.stdin, sys.stdout)
