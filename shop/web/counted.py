"""Counts requests and tasks over all processes of the shop, for whoever watches the machine.

Each process writes sums to files of its own in one folder; whoever asks adds them up. The folder
is emptied as the shop starts.
"""

import os
import socket
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256

from shop import folder

FOLDER = folder.counts()
# The library looks at this when it is loaded, so it stands before the import.
os.environ["PROMETHEUS_MULTIPROC_DIR"] = str(FOLDER)

from prometheus_client import CollectorRegistry, Counter, Histogram, values  # noqa: E402
from prometheus_client.metrics_core import Metric  # noqa: E402
from prometheus_client.mmap_dict import MmapedDict  # noqa: E402
from prometheus_client.multiprocess import MultiProcessCollector  # noqa: E402

METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
BOUNDS_S = (0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 10)
FIRST_SIZE, LARGEST_ENTRY = 1 << 16, 40  # bytes of a file; of an entry beside its key
TASK_BOUNDS_S = (0.01, 0.1, 0.5, 1, 5, 15, 40)


def _process() -> str:
    # Two containers that share the folder may both have a process of one number.
    return f"{sha256(socket.gethostname().encode()).hexdigest()[:8]}-{os.getpid()}"


class _WithRoom(MmapedDict):
    """Its file, with all of its room taken before it is written to by way of the memory.

    By itself it would be a file with holes: a disk without room for one ends the process.
    """

    def __init__(self, filename: str, read_mode: bool = False) -> None:
        if not read_mode:
            self._take_room(filename, FIRST_SIZE)
        super().__init__(filename, read_mode)  # type: ignore[no-untyped-call]

    def _init_value(self, key: str) -> None:
        if self._used + len(key.encode()) + LARGEST_ENTRY > self._capacity:
            self._take_room(self._fname, 2 * self._capacity)
        super()._init_value(key)  # type: ignore[no-untyped-call]

    @staticmethod
    def _take_room(filename: str, size: int) -> None:
        with open(filename, "ab") as file:
            had = file.tell()
            try:
                file.write(bytes(max(0, size - had)))
                file.flush()
            except OSError:
                file.truncate(had)
                if not had:
                    os.unlink(filename)
                raise


FOLDER.mkdir(parents=True, exist_ok=True)
values.MmapedDict = _WithRoom  # type: ignore[attr-defined]
values.ValueClass = values.MultiProcessValue(_process)  # type: ignore[no-untyped-call]
_here = CollectorRegistry()  # not the library's own, which everything else of a process is in
_requests = Counter(
    "hiltyard_requests", "Requests by page, method and status.", ["page", "method", "status"],
    registry=_here,
)  # fmt: skip
_request_s = Histogram(
    "hiltyard_request_seconds", "Seconds until a request was answered.", ["page", "method"],
    buckets=BOUNDS_S, registry=_here,
)  # fmt: skip
_tasks = Counter(
    "hiltyard_tasks", "Tasks by name and outcome.", ["task", "outcome"], registry=_here
)
_task_s = Histogram(
    "hiltyard_task_seconds", "Seconds that a task took.", ["task"], buckets=TASK_BOUNDS_S,
    registry=_here,
)  # fmt: skip


def known_method(method: str | None) -> str:
    """The method, or one word for all that nobody has heard of: they must not fill the disk."""
    return method if method in METHODS else "OTHER"


def request(page: str, method: str, status: int, took_s: float) -> None:
    """Count one request; on a full disk it is not counted."""
    with suppress(OSError):
        _requests.labels(page, method, str(status)).inc()
        _request_s.labels(page, method).observe(took_s)


def task(name: str, outcome: str, took_s: float) -> None:
    """Count one task; on a full disk it is not counted."""
    with suppress(OSError):
        _tasks.labels(name, outcome).inc()
        _task_s.labels(name).observe(took_s)


def all_processes() -> Iterator[Metric]:
    """What was counted, summed up over the processes of now and before, since the start."""
    collector = MultiProcessCollector(None, str(FOLDER))  # type: ignore[no-untyped-call]
    yield from collector.collect()  # type: ignore[no-untyped-call]
