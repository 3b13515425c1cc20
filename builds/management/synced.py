"""How often a deed waits for the disk before it is answered: by strace, at a web server of its own.

It writes to the shop, so take a copy.
"""

import os
import re
import shutil
import signal
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urlencode
from uuid import uuid4

from django.core.management.base import CommandError
from django.db import connection
from django.urls import reverse
from PIL import Image

from builds.management import load
from builds.models import Build
from builds.progress.states import STAGES
from shop import env, running

WATCHED = "trace=fsync,fdatasync,write,writev,sendto,sendmsg"
_SYNC = re.compile(r"\bf(?:data)?sync\(\d+<([^>]*)>")
_ANSWER = re.compile(r'"HTTP/1\.1 (?:303|200)')
WORDS = {0: "off", 1: "normal", 2: "full", 3: "extra"}
READY_S = 120
EDGE = "edge-of-the-form"


def fsync(_folder: str, port: int) -> Iterator[str]:
    """What SQLite is told, and the syncs before the answer to one photo and to one move."""
    yield _told()
    builds = load.movable()
    people = [load.Person(port, each) for each in load.sessions(1)]
    with TemporaryDirectory() as folder, _traced(port, Path(folder) / "calls") as calls:
        open_one = Build.objects.filter(state__in=STAGES).order_by("pk").first()
        if open_one is None:
            raise CommandError("There is no open build. Try it on the demo shop.")
        address = reverse("bench_photos", args=[open_one.number])
        yield _counted("one photo", calls, people[0], address, *_photo())
        if builds:
            address = reverse("bench_move", args=[builds[0].number])
            fields = {"token": uuid4(), "expected": builds[0].state}
            form = "application/x-www-form-urlencoded"
            yield _counted("one move", calls, people[0], address, urlencode(fields).encode(), form)
        else:
            yield "no build may move on as it stands: a move is not measured"
    load.sign_out(people)


def _told() -> str:
    with connection.cursor() as cursor:
        if connection.vendor != "sqlite":
            cursor.execute("SELECT current_setting('fsync'), current_setting('synchronous_commit')")
            return "PostgreSQL: fsync {}, synchronous_commit {}".format(*cursor.fetchone())
        cursor.execute("PRAGMA synchronous")
        number = cursor.fetchone()[0]
    return f"PRAGMA synchronous: {number} ({WORDS[number]})"


@contextmanager
def _traced(port: int, calls: Path) -> Iterator[Path]:
    strace = shutil.which("strace")
    if strace is None:
        raise CommandError("This needs strace: type `sudo apt install strace`.")
    command = [strace, "-f", "-y", "-qq", "-s", "40", "-e", WATCHED, "-o", str(calls)]
    process = subprocess.Popen(  # noqa: S603 (our own command)
        [*command, *running.web_command("127.0.0.1", port)], cwd=env.BASE_DIR,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )  # fmt: skip
    try:
        _wait(port)
        yield calls
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def _wait(port: int) -> None:
    deadline = time.monotonic() + READY_S
    while time.monotonic() < deadline:
        try:
            there = HTTPConnection("127.0.0.1", port, timeout=10)
            there.request("GET", "/health/live")
            there.getresponse().read()
        except OSError:
            time.sleep(0.3)
        else:
            return
    raise CommandError("The web server that is measured did not start.")


def _photo() -> tuple[bytes, str]:
    made = BytesIO()
    Image.effect_noise((800, 600), 60).convert("RGB").save(made, "JPEG", quality=90)
    head = f'--{EDGE}\r\nContent-Disposition: form-data; name="photos"; filename="a.jpg"\r\n'
    head += "Content-Type: image/jpeg\r\n\r\n"
    body = head.encode() + made.getvalue() + f"\r\n--{EDGE}--\r\n".encode()
    return body, f"multipart/form-data; boundary={EDGE}"


def _counted(
    what: str, calls: Path, person: load.Person, address: str, body: bytes, kind: str
) -> str:
    before = len(calls.read_text().splitlines())
    person.connection.request("POST", address, body, {**person.headers, "Content-Type": kind})
    answer = person.connection.getresponse()
    answer.read()
    if answer.status not in {200, 303}:
        raise CommandError(f"{what} was answered with {answer.status}.")
    lines = calls.read_text().splitlines()[before:]
    end = next((n for n, line in enumerate(lines) if _ANSWER.search(line)), None)
    if end is None:
        raise CommandError(f"strace wrote down no answer to {what}. Try it once more.")
    synced = [found[1] for line in lines[:end] if (found := _SYNC.search(line))]
    where = ", ".join(_place(path) for path in synced)
    return f"{what}: {len(synced)} syncs before the answer: {where}"


def _place(path: str) -> str:
    """A name below the data folder, without the parts that differ from one photo to the next."""
    below = path.removeprefix(f"{env.data_dir()}/").replace(str(env.data_dir()), "the data folder")
    return re.sub(r"/(?:tmp\w+|[0-9a-f]{2}(?:/[0-9a-f]+)?)$", "/…", below)
