"""A shop that runs as its owner runs it, from the command line."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path

import pytest

from tests.servers import free_port

REPOSITORY = Path(__file__).resolve().parent.parent.parent
# What these show is of Linux alone.
collect_ignore = [] if sys.platform == "linux" else ["test_synced.py", "test_units.py"]
NOT_HANDED_ON = {
    "DATABASE_URL", "REDIS_URL", "EMAIL_URL", "SECRET_KEY", "LINK_KEY", "DJANGO_SETTINGS_MODULE",
    "HILTYARD_DATA", "MEDIA_STORE",
}  # fmt: skip


def clean_environment(**more: str) -> dict[str, str]:
    """The environment of an ordinary terminal, without what the tests set."""
    kept = {name: value for name, value in os.environ.items() if name not in NOT_HANDED_ON}
    return {**kept, **more}


def wait_until(what: Callable[[], object], seconds: float = 20) -> bool:
    """Whether something came true in time."""
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        if what():
            return True
        time.sleep(0.05)
    return False


def living(pids: set[int]) -> set[int]:
    """Those of some processes that are alive; a zombie is not."""
    listed = subprocess.run(["ps", "-axwwo", "pid=,stat="], capture_output=True, text=True)
    rows = (line.split() for line in listed.stdout.splitlines())
    return pids & {int(pid) for pid, state in rows if not state.startswith("Z")}


@dataclass
class Shop:
    """One `manage.py start`."""

    data: Path
    port: int
    process: subprocess.Popen[bytes]

    @property
    def said(self) -> str:
        """What the terminal shows."""
        return (self.data.parent / f"{self.data.name}.said").read_text()

    def children(self, words: str = "") -> set[int]:
        """The processes below it whose command holds some words."""
        command = ["ps", "-axwwo", "pid=,ppid=,stat=,args="]
        listed = subprocess.run(command, capture_output=True, text=True).stdout
        rows = [line.split(None, 3) for line in listed.splitlines()]
        found = {self.process.pid}
        for _ in range(3):
            found |= {int(row[0]) for row in rows if int(row[1]) in found}
        return {
            int(pid)
            for pid, _, state, args in (row for row in rows if len(row) == 4)
            if int(pid) in found - {self.process.pid} and words in args and state[0] != "Z"
        }

    def status(self) -> int:
        """The status of its first page; 0 when nothing answers."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            connection.request("GET", "/")
            return connection.getresponse().status
        except OSError:
            return 0
        finally:
            connection.close()

    def is_open(self) -> bool:
        """Whether it has said where it is, with the worker there too."""
        return bool(re.search(r"Open http://\S+", self.said)) and bool(self.children("celery"))

    def stop(self) -> int:
        """Press Ctrl-C."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=30)


def run_start(data: Path, *options: str) -> subprocess.CompletedProcess[str]:
    """A `manage.py start` that is expected to refuse."""
    return subprocess.run(
        [sys.executable, "manage.py", "start", *options],
        cwd=REPOSITORY, env=clean_environment(HILTYARD_DATA=str(data)), timeout=60,
        capture_output=True, text=True,
    )  # fmt: skip


Start = Callable[..., Shop]


@contextmanager
def running(folder: Path, name: str = "shop", *options: str) -> Iterator[Shop]:
    """A shop that is open; ended afterwards if it still runs."""
    port = free_port()
    patience = 300  # seconds; a slow machine draws and migrates for minutes
    with (folder / f"{name}.said").open("wb") as said:
        process = subprocess.Popen(
            [sys.executable, "manage.py", "start", "--port", str(port), *options],
            cwd=REPOSITORY, env=clean_environment(HILTYARD_DATA=str(folder / name)),
            stdin=subprocess.DEVNULL, stdout=said, stderr=subprocess.STDOUT,
        )  # fmt: skip
    shop = Shop(folder / name, port, process)
    try:
        assert wait_until(shop.is_open, patience), shop.said
        yield shop
    finally:
        if process.poll() is None:
            shop.stop()


@pytest.fixture(scope="session")
def ready(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What a first start makes in the data folder and takes longest over, made once."""
    folder = tmp_path_factory.mktemp("ready")
    collect = "from shop.static_files import collect; collect()"
    for words in (["migrate", "-v", "0"], ["shell", "-v", "0", "-c", collect]):
        command = [sys.executable, "manage.py", *words]
        environment = clean_environment(HILTYARD_DATA=str(folder))
        subprocess.run(command, cwd=REPOSITORY, env=environment, check=True)
    return folder


@pytest.fixture
def start(tmp_path: Path, ready: Path) -> Iterator[Start]:
    """Starts a shop and waits until it is open; ends whatever still runs after the test.

    A shop of the usual name finds an empty database and the static files there; one of another
    name is made from nothing.
    """
    with ExitStack() as shops:

        def begin(name: str = "shop", *options: str) -> Shop:
            if name == "shop" and not (tmp_path / name).exists():
                (tmp_path / name).mkdir(mode=0o700)
                shutil.copy2(ready / "hiltyard.sqlite3", tmp_path / name)
                shutil.copytree(ready / "static", tmp_path / name / "static")
            return shops.enter_context(running(tmp_path, name, *options))

        yield begin
