"""A shop in a folder of its own, and real workers for it that can be killed."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from tests.servers import free_port

ROOT = Path(__file__).resolve().parents[2]
READY_WITHIN_S = 60


@dataclass
class Shop:
    """A shop with default settings; its web process is not needed here."""

    folder: Path
    broker: str
    mail: str
    started: list[subprocess.Popen[bytes]] = field(default_factory=list)

    @property
    def environment(self) -> dict[str, str]:
        ours = {
            "HILTYARD_DATA": str(self.folder),
            "SECRET_KEY": "faults-only-" + "s" * 40,
            "LINK_KEY": "faults-only-" + "l" * 40,
            "DJANGO_SETTINGS_MODULE": "shop.settings",
            "REDIS_URL": self.broker,
            "EMAIL_URL": self.mail,
        }
        theirs = {"PATH", "HOME", "LANG", "VIRTUAL_ENV"}
        return {name: value for name, value in os.environ.items() if name in theirs} | ours

    def run(self, *command: str) -> None:
        """Run a Python module to its end in this shop."""
        subprocess.run(
            [sys.executable, "-m", *command],
            cwd=ROOT, env=self.environment, check=True, capture_output=True,
        )  # fmt: skip

    def start_worker(self) -> subprocess.Popen[bytes]:
        """Start a worker as a shop does, in a process group of its own, and wait till it works."""
        log = self.folder / f"worker-{len(self.started)}.log"
        with log.open("wb") as output:
            worker = subprocess.Popen(
                [sys.executable, "-m", "celery", "-A", "shop.celery", "worker", "-l", "INFO"],
                cwd=ROOT, env=self.environment, stdout=output, stderr=output,
                start_new_session=True,
            )  # fmt: skip
        self.started.append(worker)
        deadline = time.monotonic() + READY_WITHIN_S
        while b" ready." not in log.read_bytes():
            if worker.poll() is not None or time.monotonic() > deadline:
                raise AssertionError(log.read_text())
            time.sleep(0.02)
        return worker

    def run_without_broker(self, *command: str) -> None:
        """The same while the broker is down: no wake-up gets through."""
        there, self.broker = self.broker, f"redis://127.0.0.1:{free_port()}/0"
        self.run(*command)
        self.broker = there

    def rendered(self) -> dict[bool, int]:
        """How many photos have their pictures, and how many do not."""
        with sqlite3.connect(self.folder / "hiltyard.sqlite3", timeout=20) as database:
            rows = database.execute(
                "SELECT rendered_at IS NOT NULL, count(*) FROM shop_blob GROUP BY 1"
            )
            return {bool(made): count for made, count in rows}

    def most_tries(self) -> int:
        """How often the photo that was begun most often was begun."""
        with sqlite3.connect(self.folder / "hiltyard.sqlite3", timeout=20) as database:
            return int(database.execute("SELECT max(tries) FROM shop_blob").fetchone()[0])

    def missing_pictures(self) -> list[str]:
        """Photos that lack a rendition, in the database or on the disk, or that have a problem."""
        with sqlite3.connect(self.folder / "hiltyard.sqlite3", timeout=20) as database:
            rows = database.execute(
                "SELECT sha256, problem, (SELECT count(*) FROM shop_rendition"
                " WHERE blob_id = shop_blob.id) FROM shop_blob"
            ).fetchall()
        media = self.folder / "media" / "renditions"
        return [
            sha256
            for sha256, problem, made in rows
            if problem or made != 2 or len(list(media.rglob(f"{sha256}*"))) != 2
        ]

    def states(self) -> dict[str, int]:
        """How many messages stand in each state."""
        with sqlite3.connect(self.folder / "hiltyard.sqlite3", timeout=20) as database:
            rows = database.execute("SELECT state, count(*) FROM shop_message GROUP BY state")
            return dict(rows.fetchall())

    def let_leases_run_out(self) -> None:
        """What the passing of time does to the leases of the dead."""
        with sqlite3.connect(self.folder / "hiltyard.sqlite3", timeout=20) as database:
            database.execute("UPDATE shop_message SET leased_until = made_at WHERE state='queued'")

    def any_left_of(self, worker: subprocess.Popen[bytes]) -> bool:
        """Whether any process of a worker's group still runs."""
        try:
            os.killpg(worker.pid, 0)
        except ProcessLookupError:
            return False
        return True

    def stop(self) -> None:
        """End every process of every worker that was started here."""
        for worker in self.started:
            kill_with_children(worker)


def kill_alone(worker: subprocess.Popen[bytes]) -> None:
    """SIGKILL to the worker's main process; its child finds out by itself."""
    worker.kill()
    worker.wait()


def kill_with_children(worker: subprocess.Popen[bytes]) -> None:
    """SIGKILL to all of them at once, as when the plug is pulled."""
    with suppress(ProcessLookupError):
        os.killpg(worker.pid, signal.SIGKILL)
    worker.wait()
