"""A real shop that `manage.py start` runs, for as long as something is measured at it."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path

from django.core.management.base import CommandError

from shop import env

READY_WITHIN_S, STOPS_WITHIN_S = 180, 40
REST_S = 45  # until what a start does once is done


@contextmanager
def served(folder: Path, port: int, settings: str) -> Iterator[int]:
    """The process id of a start in a data folder, once its pages answer."""
    command = [sys.executable, str(env.BASE_DIR / "manage.py"), "start", "--port", str(port)]
    around = {**os.environ, "HILTYARD_DATA": str(folder), "DJANGO_SETTINGS_MODULE": settings}
    process = subprocess.Popen(command, env=around, stdout=subprocess.DEVNULL)  # noqa: S603
    try:
        _wait(process, port)
        yield process.pid
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(STOPS_WITHIN_S)


def _wait(process: "subprocess.Popen[bytes]", port: int) -> None:
    deadline = time.monotonic() + READY_WITHIN_S
    while time.monotonic() < deadline and process.poll() is None:
        try:
            connection = HTTPConnection("localhost", port, timeout=10)
            connection.request("GET", "/sign-in/")
            connection.getresponse().read()
        except OSError:
            time.sleep(0.5)
        else:
            return
    raise CommandError("The shop that is measured did not start; its own words stand above.")


def memory(launcher: int) -> Iterator[tuple[str, float, float]]:
    """What each process of a start holds: its words, PSS and RSS in MB. On Linux alone."""
    for pid in _family(launcher):
        try:
            words = Path(f"/proc/{pid}/cmdline").read_bytes().split(b"\0")
            rollup = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()
        except OSError:
            continue  # it ended meanwhile
        sizes = {line.split()[0]: int(line.split()[1]) for line in rollup[1:]}
        said = " ".join(os.path.basename(each.decode(errors="replace")) for each in words if each)
        yield said[:70], sizes["Pss:"] / 1024, sizes["Rss:"] / 1024


def _family(pid: int) -> Iterator[int]:
    yield pid
    for task in Path(f"/proc/{pid}/task").glob("*/children"):
        for child in task.read_text().split():
            yield from _family(int(child))
