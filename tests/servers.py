"""Finds the servers and the browser that the tests need, and starts throwaway ones."""

import os
import pwd
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from signal import SIGINT
from typing import Any
from urllib.parse import quote

from shop import guard

READY_WITHIN = 30.0
BROWSERS = ("chromium", "chromium-browser", "google-chrome")
MAC_BROWSERS = (
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
)
_FORGETFUL = (
    "fsync=off",
    "synchronous_commit=off",
    "full_page_writes=off",
    # It would count tables between two tests, find them empty, and plan for empty ones.
    "autovacuum=off",
    "statement_timeout=120s",  # a plan gone wrong fails its test and does not hang the run
)
POSTGRESQL_PLACES = (
    "/usr/lib/postgresql/*/bin",  # where apt puts what it leaves off the PATH
    "/opt/homebrew/opt/postgresql*/bin",
    "/usr/local/opt/postgresql*/bin",
)


class Missing(Exception):
    """One sentence that names the system packages to install."""


def redis_program() -> str | None:
    """A Redis server of the machine's own."""
    return shutil.which("redis-server") or shutil.which("valkey-server")


def browser_program() -> str | None:
    """Chromium, or what is built from it."""
    named = os.environ.get("CHROMIUM")
    found = [shutil.which(named)] if named else [shutil.which(name) for name in BROWSERS]
    return next((path for path in (*found, *map(shutil.which, MAC_BROWSERS)) if path), None)


def postgresql_programs() -> Path | None:
    """The newest folder whose initdb and postgres both run."""
    folders = [path for place in POSTGRESQL_PLACES for path in Path("/").glob(place[1:])]
    on_path = shutil.which("initdb")
    if on_path:
        folders.append(Path(on_path).resolve().parent)
    works = [
        folder for folder in folders if _runs(folder / "initdb") and _runs(folder / "postgres")
    ]
    return max(works, key=lambda folder: _version(folder / "postgres"), default=None)


def _runs(program: Path) -> bool:
    return program.exists() and _version(program) > 0


def _version(program: Path) -> float:
    try:
        said = subprocess.run([program, "--version"], capture_output=True, text=True, check=True)
        return float(said.stdout.split()[2])
    except (OSError, subprocess.CalledProcessError, ValueError, IndexError):
        return 0.0


def check_machine() -> None:
    """Refuse, in one sentence, a machine that lacks something."""
    lacks = {
        "Redis": ("redis-server", "redis", redis_program()),
        "PostgreSQL": ("postgresql", "postgresql", postgresql_programs()),
        "ffmpeg": ("ffmpeg", "ffmpeg", shutil.which("ffmpeg") and shutil.which("ffprobe")),
        "gettext": ("gettext", "gettext", shutil.which("msgfmt") and shutil.which("xgettext")),
        "Chromium": ("chromium", "--cask chromium", browser_program()),
    }
    if sys.platform == "linux":
        lacks["strace"] = ("strace", "", shutil.which("strace"))
        lacks["systemd-analyze"] = ("systemd", "", shutil.which("systemd-analyze"))
        lacks["faketime"] = ("faketime", "", clock_library())
    names = [name for name, (_, _, found) in lacks.items() if not found]
    if names:
        column, tool = (1, "brew install") if sys.platform == "darwin" else (0, "sudo apt install")
        packages = " ".join(str(lacks[name][column]) for name in names)
        raise Missing(
            f"The tests need {' and '.join(names)}, which this machine lacks: type "
            f"`{tool} {packages}`, or `python3 manage.py test --fast` for what needs no server."
        )


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def redis() -> Iterator[str]:
    """A Redis that keeps nothing; its address, without the number of a database."""
    port = free_port()
    command = [str(redis_program()), "--port", str(port), "--bind", "127.0.0.1", "--save", ""]
    with _folder() as folder, _process([*command, "--dir", str(folder)], folder / "log") as server:
        _wait(server, folder / "log", lambda: _answers(port))
        yield f"redis://127.0.0.1:{port}"


@contextmanager
def postgresql() -> Iterator[str]:
    """A PostgreSQL that forgets everything, on a socket of its own; its DATABASE_URL."""
    programs, user = postgresql_programs(), unprivileged()
    assert programs is not None
    with _folder(user) as folder:
        data, log = folder / "data", folder / "log"
        make = [
            str(programs / "initdb"),
            "-D",
            str(data),
            "-U",
            "hiltyard",
            "-A",
            "trust",
            "--no-sync",
        ]
        subprocess.run(
            [*make, "-A", "trust", "-E", "UTF8", "--locale=C"],
            check=True, stdout=subprocess.DEVNULL, cwd=folder, **user,
        )  # fmt: skip
        command = [str(programs / "postgres"), "-D", str(data), "-k", str(folder), "-h", ""]
        for option in _FORGETFUL:
            command += ["-c", option]
        with _process(command, log, user) as server:
            _wait(server, log, (folder / ".s.PGSQL.5432.lock").exists)
            _wait(server, log, lambda: "ready to accept connections" in log.read_text())
            yield f"postgres://hiltyard@{quote(str(folder), safe='')}:5432/hiltyard"


def unprivileged() -> dict[str, Any]:
    """PostgreSQL refuses to run as root: the arguments that start it as someone else."""
    if os.getuid() != 0:
        return {}
    names = {entry.pw_name for entry in pwd.getpwall()}
    account = pwd.getpwnam("postgres" if "postgres" in names else "nobody")
    return {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}


@contextmanager
def _folder(user: dict[str, Any] | None = None) -> Iterator[Path]:
    with tempfile.TemporaryDirectory(prefix="hiltyard-") as name:
        if user:
            os.chown(name, user["user"], user["group"])
        yield Path(name)


@contextmanager
def _process(
    command: list[str], log: Path, user: dict[str, Any] | None = None
) -> Iterator[subprocess.Popen[bytes]]:
    with log.open("wb") as output:
        server = subprocess.Popen(
            command, cwd=log.parent, stdout=output, stderr=subprocess.STDOUT,
            start_new_session=True, **(user or {}),
        )  # fmt: skip
    with _guarded(server.pid):
        try:
            yield server
        finally:
            server.send_signal(SIGINT)  # for PostgreSQL: end now, whoever is still connected
            server.wait()


@contextmanager
def _guarded(group: int) -> Iterator[None]:
    """Let the shop's own guard end a server when this process is killed."""
    command = [sys.executable, "-I", "-S", guard.__file__]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, start_new_session=True)
    assert process.stdin is not None
    os.write(process.stdin.fileno(), f"+ {group}\n".encode())
    yield
    os.write(process.stdin.fileno(), f"- {group}\n".encode())
    process.stdin.close()
    process.wait()


def _wait(server: subprocess.Popen[bytes], log: Path, ready: Callable[[], bool]) -> None:
    deadline = time.monotonic() + READY_WITHIN
    while not ready():
        if server.poll() is not None or time.monotonic() > deadline:
            raise Missing(f"A server for the tests did not start:\n{log.read_text()}")
        time.sleep(0.02)


def _answers(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def clock_library() -> Path | None:
    """What turns the clock of a program that is not told of it; on Linux alone."""
    places = ("/usr/lib/*/faketime/libfaketimeMT.so.1", "/usr/lib/faketime/libfaketimeMT.so.1")
    found = [path for place in places for path in Path("/").glob(place[1:])]
    return found[0] if found else None


def turned_clock(file: Path) -> dict[str, str]:
    """The environment of a program whose clock goes by a file, as in "-1d"; files keep theirs."""
    library = clock_library()
    if library is None:
        raise Missing("The tests need faketime: type `sudo apt install faketime`.")
    return {
        "LD_PRELOAD": str(library), "FAKETIME_TIMESTAMP_FILE": str(file), "NO_FAKE_STAT": "1",
        "FAKETIME_NO_CACHE": "1", "FAKETIME_DONT_FAKE_MONOTONIC": "1", "DONT_FAKE_MONOTONIC": "1",
    }  # fmt: skip
