"""A whole shop that runs as its owner runs it, whose parts are killed while people work."""

import json
import os
import random
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from tests.faults.deeds import Crowd
from tests.machine.conftest import REPOSITORY, clean_environment, wait_until
from tests.servers import free_port

SEED, PATIENCE_S = 20261126, 90


@dataclass
class Whole:
    """A data folder, and the `manage.py start` in it."""

    data: Path
    more: dict[str, str] = field(default_factory=dict)  # of the environment
    port: int = field(default_factory=free_port)
    process: "subprocess.Popen[bytes] | None" = None

    @property
    def environment(self) -> dict[str, str]:
        return clean_environment(
            HILTYARD_DATA=str(self.data), DJANGO_SETTINGS_MODULE="shop.settings", **self.more
        )

    def run(self, *words: str) -> str:
        """Run Python in this shop to its end; what it says."""
        done = self.ran(*words)
        assert done.returncode == 0, done.stderr[-4000:]
        return done.stdout

    def ran(self, *words: str) -> "subprocess.CompletedProcess[str]":
        """The same of what may go wrong."""
        return subprocess.run(
            [sys.executable, *words], cwd=REPOSITORY, env=self.environment,
            capture_output=True, text=True,
        )  # fmt: skip

    def filled(self, people: int, builds: int) -> Crowd:
        """Make its tables, people and builds."""
        self.run("manage.py", "migrate", "-v0")
        said = self.run("-m", "tests.faults.people", str(people), str(builds))
        return Crowd.from_words(self.port, said)

    def start(self) -> None:
        """Start it, and wait until it answers."""
        with (self.data.parent / f"{self.data.name}.said").open("ab") as said:
            self.process = subprocess.Popen(
                [sys.executable, "manage.py", "start", "--port", str(self.port)],
                cwd=REPOSITORY, env=self.environment, stdin=subprocess.DEVNULL,
                stdout=said, stderr=subprocess.STDOUT,
            )  # fmt: skip
        assert wait_until(self.is_up, PATIENCE_S), self.said

    @property
    def said(self) -> str:
        return (self.data.parent / f"{self.data.name}.said").read_text()[-6000:]

    def is_up(self) -> bool:
        return self.crowdless().look("/health/live")[0] == 200

    def crowdless(self) -> "Looker":
        return Looker(self.port)

    def ready(self) -> dict[str, str]:
        """What /health/ready says of each part."""
        status, text = self.crowdless().look("/health/ready")
        if not status:
            return {}
        return {name: each["says"] for name, each in json.loads(text)["checks"].items()}

    def parts(self, words: str) -> list[int]:
        """The processes of this start whose command holds some words, the oldest first."""
        assert self.process is not None
        listed = subprocess.run(
            ["ps", "-axwwo", "pid=,ppid=,stat=,args="], capture_output=True, text=True
        )
        rows = [line.split(None, 3) for line in listed.stdout.splitlines()]
        family = {self.process.pid}
        for _ in range(4):
            family |= {int(row[0]) for row in rows if int(row[1]) in family}
        family -= {self.process.pid}
        return sorted(
            int(row[0])
            for row in rows
            if int(row[0]) in family and len(row) == 4 and words in row[3] and row[2][0] != "Z"
        )

    def kill(self, words: str) -> int:
        """SIGKILL to the first process of a part; one that was killed before is awaited."""
        assert wait_until(lambda: self.parts(words), 30), f"there is no {words}: {self.said}"
        found = self.parts(words)
        with suppress(ProcessLookupError):
            os.kill(found[0], signal.SIGKILL)
        return found[0]

    def stop(self) -> None:
        """Press Ctrl-C."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            self.process.wait(60)

    def check(self, crowd: Crowd) -> int:
        """Hold what is there against what was acknowledged; how much that was.

        All of it is there, once; nothing is half-done; nothing is left over once the day's sweep
        has been; nothing else was answered than a deed done or a plain word.
        """
        found = json.loads(self.run("-m", "tests.faults.kept", "swept").splitlines()[-1])
        assert found["half"] == [], found["half"]
        assert found["strays"] == [], found["strays"]
        for kind, marks in crowd.told.kept.items():
            there = found["kept"][kind]
            lost = set(marks) - set(there)
            assert not lost, f"{len(lost)} of {len(marks)} acknowledged were lost: {kind}"
            assert len(there) == len(set(there)), f"twice: {kind}"
        assert crowd.told.wrong == [], crowd.told.wrong[:3]
        return crowd.told.count


@dataclass
class Looker:
    """Somebody who is not signed in."""

    port: int

    def look(self, path: str) -> tuple[int, str]:
        from tests.faults.deeds import Person, Told  # noqa: PLC0415

        return Person(self.port, "", Told()).look(path)


@contextmanager
def running(whole: Whole) -> Iterator[Whole]:
    """A shop while it runs."""
    try:
        whole.start()
        yield whole
    finally:
        whole.stop()


def at_random(times: int, within_s: tuple[float, float], deed: Callable[[], object]) -> None:
    """Do something that many times, at moments that nobody chose."""
    dice = random.Random(SEED)  # noqa: S311 – moments, no secrets
    for _ in range(times):
        time.sleep(dice.uniform(*within_s))
        deed()


def words_of(page: str) -> str:
    """What stands on a page, without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))
