"""The units for systemd: sound, hardened, and each of their commands runs as it stands there."""

import os
import re
import shlex
import shutil
import signal
import subprocess
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

from tests import servers
from tests.machine.conftest import REPOSITORY, clean_environment, wait_until

FOLDER = REPOSITORY / ".units"
UNITS = sorted(path.name for path in FOLDER.glob("*.service"))
PROGRAM, DATA = "/srv/hiltyard", "/var/lib/hiltyard"
HARDENED = {
    "NoNewPrivileges": "yes", "ProtectSystem": "strict", "ReadWritePaths": DATA,
    "ProtectHome": "yes", "PrivateTmp": "yes", "CapabilityBoundingSet": "", "UMask": "0077",
    "RestrictAddressFamilies": "AF_INET AF_INET6 AF_UNIX", "Restart": "on-failure",
    "User": "hiltyard",
}  # fmt: skip
LONG = 120  # seconds, for a machine that does much else


def lines(unit: str, name: str) -> list[str]:
    """What a unit says by a name, each time that it does."""
    text = (FOLDER / unit).read_text()
    return re.findall(rf"^{name}=(.*)$", text, re.MULTILINE)


@pytest.mark.parametrize("unit", UNITS)
def test_unit_is_hardened_and_comes_back(unit: str) -> None:
    assert {name: lines(unit, name)[-1] for name in HARDENED} == HARDENED
    assert re.fullmatch(r"\d+[MG]", lines(unit, "MemoryMax")[0])


@pytest.mark.parametrize("unit", UNITS)
def test_unit_holds_no_secret(unit: str) -> None:
    assert not re.search(r"^(?!#).*(KEY|PASSWORD|SECRET|TOKEN)", (FOLDER / unit).read_text(), re.M)


@pytest.mark.skipif(
    not shutil.which("systemd-analyze"), reason="needs systemd-analyze: `sudo apt install systemd`"
)
def test_units_are_sound_and_little_exposed(tmp_path: Path) -> None:
    for unit in UNITS:  # where this machine has the program
        text = (FOLDER / unit).read_text().replace(PROGRAM, str(REPOSITORY))
        (tmp_path / unit).write_text(text)
    paths = [str(tmp_path / unit) for unit in UNITS]
    verified = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", *paths], capture_output=True, text=True
    )
    assert (verified.returncode, verified.stderr) == (0, "")
    judged = subprocess.run(
        ["systemd-analyze", "security", "--offline=yes", "--threshold=25", "--no-pager", *paths],
        capture_output=True, text=True,
    )  # fmt: skip
    assert judged.returncode == 0, judged.stdout


class Machine:
    """Runs units by hand: what they say, with this machine's folder, port and servers in it."""

    def __init__(self, folder: Path, **more: str) -> None:
        self.folder, self.port, self.more = folder, servers.free_port(), more
        self.data = folder / "data"
        self.data.mkdir(mode=0o700)

    def _here(self, text: str) -> str:
        text = text.replace(PROGRAM, str(REPOSITORY)).replace(DATA, str(self.data))
        return text.replace("8000", str(self.port))

    def _environment(self, unit: str) -> dict[str, str]:
        told = shlex.split(self._here(lines(unit, "Environment")[0]))
        return clean_environment(**dict(pair.split("=", 1) for pair in told), **self.more)

    @contextmanager
    def running(self, unit: str) -> Iterator[subprocess.Popen[bytes]]:
        """What comes before, then the unit itself; ended as systemd ends it."""
        environment = self._environment(unit)
        for command in lines(unit, "ExecStartPre"):
            subprocess.run(
                shlex.split(self._here(command)), cwd=REPOSITORY, env=environment, check=True
            )
        with (self.folder / f"{unit}.log").open("wb") as said:
            process = subprocess.Popen(
                shlex.split(self._here(lines(unit, "ExecStart")[0])), cwd=REPOSITORY,
                env=environment, stdout=said, stderr=said, start_new_session=True,
            )  # fmt: skip
        try:
            yield process
        finally:
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()

    def get(self, path: str) -> str:
        """A page; empty where nothing answers, or not well."""
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{self.port}{path}", timeout=5) as page:
                return str(page.read().decode())
        except OSError:
            return ""

    def log(self, unit: str) -> str:
        """What a unit has said."""
        return (self.folder / f"{unit}.log").read_text()


def _stop(process: subprocess.Popen[bytes]) -> int:
    process.terminate()
    return process.wait(timeout=60)


@pytest.mark.server
@pytest.mark.once
def test_unit_of_the_whole_shop_runs_and_stops_when_asked(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    with machine.running("hiltyard.service") as shop:
        assert wait_until(lambda: '"status": "ok"' in machine.get("/health/ready"), LONG)
        assert wait_until(lambda: '"process": "hiltyard"' in machine.log("hiltyard.service"))
        assert _stop(shop) == 0


@pytest.mark.server
@pytest.mark.once
def test_units_of_the_parts_run_beside_one_another(tmp_path: Path) -> None:
    if not servers.redis_program():
        pytest.skip("needs a Redis: type `python3 manage.py test`")
    with servers.redis() as redis:
        machine = Machine(tmp_path, REDIS_URL=f"{redis}/0")
        with machine.running("hiltyard-web.service") as web:
            assert wait_until(lambda: '"status": "ok"' in machine.get("/health/ready"), LONG)
            with machine.running("hiltyard-clock.service") as clock:
                # Nobody works yet: what waits is the clock's own.
                with machine.running("hiltyard-worker.service") as worker:
                    done = 'hiltyard_tasks_total{outcome="success",task="shop.post.tasks.sweep"}'
                    assert wait_until(lambda: done in machine.get("/metrics"), LONG)
                    assert _stop(worker) == 0
                assert clock.poll() is None
                assert _stop(clock) == 0
            assert _stop(web) == 0
