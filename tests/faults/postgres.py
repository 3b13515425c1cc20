"""A PostgreSQL that keeps what it said it keeps, and can be killed and started anew."""

import os
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from tests.machine.conftest import wait_until
from tests.servers import postgresql_programs, unprivileged


@dataclass
class Cluster:
    """One data folder with its server."""

    folder: Path
    process: "subprocess.Popen[bytes] | None" = None

    @property
    def url(self) -> str:
        return f"postgres://hiltyard@{quote(str(self.folder), safe='')}:5432/postgres"

    def make(self) -> None:
        """Lay it out. The bytes of this go to no disk for good; those of its work do."""
        command = [self._program("initdb"), "-D", str(self.folder / "data"), "-U", "hiltyard"]
        options = ["-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"]
        subprocess.run(
            [*command, *options], check=True, stdout=subprocess.DEVNULL, cwd=self.folder,
            **unprivileged(),
        )  # fmt: skip

    def start(self) -> None:
        """Start it as it is by itself: fsync and synchronous_commit are on."""
        data, log = self.folder / "data", self.folder / "log"
        command = [self._program("postgres"), "-D", str(data), "-k", str(self.folder), "-h", ""]
        with log.open("wb") as said:
            self.process = subprocess.Popen(
                command, cwd=self.folder, stdout=said, stderr=said, start_new_session=True,
                **unprivileged(),
            )  # fmt: skip
        ready = "ready to accept connections"
        assert wait_until(lambda: ready in log.read_text(), 30), log.read_text()

    def kill(self) -> None:
        """SIGKILL to its first process; the others find out, and end, by themselves."""
        assert self.process is not None
        self.process.kill()
        self.process.wait()

    def start_anew(self) -> None:
        """Start it once nothing of the dead one is left, which it refuses before."""
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            with suppress(AssertionError):
                if self.process is None or self.process.poll() is not None:
                    self.start()
                return
            time.sleep(0.5)
        raise AssertionError((self.folder / "log").read_text())

    def backends(self) -> list[int]:
        """The processes that serve the shop's connections."""
        assert self.process is not None
        children = f"/proc/{self.process.pid}/task/{self.process.pid}/children"
        pids = [int(pid) for pid in Path(children).read_text().split()]
        return [pid for pid in pids if b"hiltyard postgres" in _words(pid)]

    def stop(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            self.process.wait(30)

    def _program(self, name: str) -> str:
        programs = postgresql_programs()
        assert programs is not None, "needs PostgreSQL: type `sudo apt install postgresql`"
        return str(programs / name)


def _words(pid: int) -> bytes:
    try:
        return Path(f"/proc/{pid}/cmdline").read_bytes()
    except OSError:
        return b""


@contextmanager
def cluster() -> Iterator[Cluster]:
    """One of its own, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="hiltyard-") as name:
        account = unprivileged()
        if account:
            os.chown(name, account["user"], account["group"])
        found = Cluster(Path(name))
        found.make()
        try:
            found.start()
            yield found
        finally:
            found.stop()
