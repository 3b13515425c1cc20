"""What is answered is on the disk first: how every connection is set, and the calls themselves."""

import os
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode
from uuid import uuid4

import pytest
from django.db.utils import ConnectionHandler

from shop import running
from shop.settings import SQLITE_OPTIONS
from tests.files.pictures import encoded, picture
from tests.machine.conftest import REPOSITORY, clean_environment, wait_until
from tests.servers import free_port

FULL = 2
CSRF = "c" * 32
SET_UP = """
from django.test import Client
from shop.clock import now
from shop.house.models import House
from shop.people.models import Role, User
from tests.makers import answer, make_build
House.objects.create(name="Larkhill Works", set_up_at=now())
oda = User.objects.create(email="oda@larkhill.example", name="Oda", role=Role.OWNER)
build = make_build(oda, now(), kind="blade")
answer(build, "agreed", oda, now())
client = Client()
client.force_login(oda)
print("begin", build.number, client.cookies["sessionid"].value)
"""
STRACE = shutil.which("strace")


def _synchronous(handler: ConnectionHandler) -> int:
    connection = handler["default"]
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous")
        return int(cursor.fetchone()[0])


@pytest.mark.django_db
def test_every_connection_of_every_thread_waits_for_the_disk(tmp_path: Path) -> None:
    handler = ConnectionHandler(
        {
            "default": {
                "ENGINE": "shop.sqlite", "NAME": str(tmp_path / "a.sqlite3"),
                "OPTIONS": SQLITE_OPTIONS,
            }
        }
    )  # fmt: skip

    def asked(number: int) -> int:
        found = _synchronous(handler)
        handler["default"].close()  # the next one of this thread is a new connection
        return found

    with ThreadPoolExecutor(4) as threads:
        assert set(threads.map(asked, range(12))) == {FULL}


class Traced:
    """A shop whose web server runs under strace, and what it called, in order."""

    def __init__(self, folder: Path) -> None:
        self.data, self.calls, self.port = folder / "data", folder / "calls", free_port()
        self.data.mkdir(mode=0o700)
        # Its media lie in the data folder; a broker is not there, and nothing waits for one.
        self.environment = clean_environment(
            HILTYARD_DATA=str(self.data), REDIS_URL=f"redis://127.0.0.1:{free_port()}/0"
        )
        self._manage("migrate", "-v", "0")
        self._manage("collectstatic", "--no-input", "-v", "0")
        said = self._manage("shell", "-v", "0", "-c", SET_UP)
        self.build, self.session = said.partition("begin ")[2].split()

    def _manage(self, *words: str) -> str:
        done = subprocess.run(
            [sys.executable, "manage.py", *words], cwd=REPOSITORY, env=self.environment,
            capture_output=True, text=True,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout

    def start(self) -> subprocess.Popen[bytes]:
        asked = "trace=fsync,fdatasync,write,pwrite64,writev,sendto,sendmsg,rename"
        strace = [str(STRACE), "-f", "-y", "-qq", "-s", "40", "-e", asked, "-o", str(self.calls)]
        web = running.web_command("127.0.0.1", self.port)
        return subprocess.Popen(
            [*strace, *web], cwd=REPOSITORY, env=self.environment, stdout=subprocess.DEVNULL,
            start_new_session=True,
        )  # fmt: skip

    def post(self, path: str, body: bytes, kind: str) -> int:
        headers = {
            "Cookie": f"sessionid={self.session}; csrftoken={CSRF}", "Content-Type": kind,
            "X-CSRFToken": CSRF,
        }  # fmt: skip
        with closing(HTTPConnection("127.0.0.1", self.port, timeout=60)) as connection:
            connection.request("POST", path, body, headers)
            answer = connection.getresponse()
            answer.read()
            return answer.status

    def is_up(self) -> bool:
        try:
            with closing(HTTPConnection("127.0.0.1", self.port, timeout=5)) as connection:
                connection.request("GET", "/health/live")
                return connection.getresponse().status == 200
        except OSError:
            return False

    def until_the_answer(self, after: int) -> list[str]:
        """The calls since some moment, up to the one that writes the answer."""
        lines = self.calls.read_text().splitlines()[after:]
        ends = [n for n, line in enumerate(lines) if re.search(r'"HTTP/1\.1 (303|200)', line)]
        return lines[: ends[0]] if ends else []

    def count(self) -> int:
        return len(self.calls.read_text().splitlines())


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Traced]:
    if not STRACE:
        pytest.skip("needs strace: type `sudo apt install strace`")
    traced = Traced(tmp_path)
    process = traced.start()
    try:
        assert wait_until(traced.is_up, 120)
        yield traced
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def _synced(calls: list[str], what: str) -> list[int]:
    """When a file whose name ends so was put on the disk for good."""
    call = re.compile(rf"\bf(?:data)?sync\(\d+<[^>]*{what}>\)")
    return [n for n, line in enumerate(calls) if call.search(line)]


def _form(content: bytes) -> tuple[bytes, str]:
    edge = "edge-of-the-form"
    head = f'--{edge}\r\nContent-Disposition: form-data; name="photos"; filename="a.jpg"\r\n'
    head += "Content-Type: image/jpeg\r\n\r\n"
    return head.encode() + content + f"\r\n--{edge}--\r\n".encode(), edge


@pytest.mark.server
@pytest.mark.once
def test_photo_and_its_row_are_on_the_disk_before_it_is_said_that_they_are_kept(
    shop: Traced,
) -> None:
    body, edge = _form(encoded(picture(400, 300)))
    before = shop.count()
    kind = f"multipart/form-data; boundary={edge}"
    assert shop.post(f"/build/{shop.build}/photos/", body, kind) == 303
    calls = shop.until_the_answer(before)
    assert calls, shop.calls.read_text()[-2000:]
    file = _synced(calls, r"/media/incoming/[^>/]+")
    named = [n for n, line in enumerate(calls) if "rename(" in line and "/media/originals/" in line]
    folder = _synced(calls, r"/media/originals/[0-9a-f]{2}")
    row = _synced(calls, r"\.sqlite3-wal")
    assert file[0] < named[0] < folder[-1] < row[-1]


@pytest.mark.server
@pytest.mark.once
def test_move_is_on_the_disk_before_it_is_answered(shop: Traced) -> None:
    before = shop.count()
    deed = urlencode({"token": uuid4(), "expected": "booked"}).encode()
    kind = "application/x-www-form-urlencoded"
    assert shop.post(f"/build/{shop.build}/move/", deed, kind) == 303
    calls = shop.until_the_answer(before)
    written = [n for n, line in enumerate(calls) if "write" in line and "sqlite3-wal>" in line]
    assert written, calls
    # Nothing of the log is written after it was last synced; and only then comes the answer.
    assert max(written) < max(_synced(calls, r"\.sqlite3-wal"))
    with closing(sqlite3.connect(shop.data / "hiltyard.sqlite3")) as database:
        (state,) = database.execute("SELECT state FROM builds_build").fetchone()
    assert state != "booked"
