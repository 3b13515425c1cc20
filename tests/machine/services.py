"""The services of docker-compose.yml as processes of this machine: their commands, word for word.

What a container engine would do is done by hand: names of hosts, ports and the folder of the
volume become those of this machine; the commands and the environment stay as the file has them.
"""

import os
import re
import shlex
import signal
import socket
import subprocess
import sys
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from tests.machine.conftest import REPOSITORY

FILE = REPOSITORY / "docker-compose.yml"
_VARIABLE = re.compile(r"\$\{(\w+)(?::[-?+][^}]*)?\}")


def compose() -> dict[str, Any]:
    """The file as a program reads it."""
    return dict(yaml.safe_load(FILE.read_text()))


@dataclass
class Services:
    """Processes of one shop, each as its service in the file says."""

    folder: Path
    database: str
    broker: str
    port: int
    mail: str = ""
    more: dict[str, str] = field(default_factory=dict)
    started: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)

    def environment(self, name: str) -> dict[str, str]:
        """What the file sets for a service, with the values of this machine."""
        told = {
            key: _set(value) for key, value in compose()["services"][name]["environment"].items()
        }
        here = {
            "HILTYARD_DATA": str(self.folder), "DATABASE_URL": self.database,
            "REDIS_URL": self.broker, "EMAIL_URL": self.mail, "ALLOWED_HOSTS": "127.0.0.1",
        }  # fmt: skip
        machine = {
            "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}", "HOME": str(self.folder),
            "HOSTNAME": socket.gethostname(), "DJANGO_SETTINGS_MODULE": "shop.settings",
        }  # fmt: skip
        return {**told, **here, **machine, **self.more}

    def here(self, text: str) -> str:
        """A command of the file with this machine's port and folder in it."""
        text = text.replace("8000", str(self.port)).replace("0.0.0.0", "127.0.0.1")  # noqa: S104
        return text.replace("/data/", f"{self.folder}/").replace("$$", "$")

    def log(self, name: str) -> str:
        """What a service has said."""
        return (self.folder.parent / f"{name}.log").read_text()

    def run(self, name: str) -> str:
        """Run a service that ends by itself."""
        with (self.folder.parent / f"{name}.log").open("wb") as said:
            subprocess.run(
                shlex.split(self.here(compose()["services"][name]["command"])), check=True,
                cwd=REPOSITORY, env=self.environment(name), stdout=said, stderr=subprocess.STDOUT,
            )  # fmt: skip
        return self.log(name)

    def start(self, name: str) -> None:
        """Start one that stays."""
        with (self.folder.parent / f"{name}.log").open("ab") as said:
            self.started[name] = subprocess.Popen(
                shlex.split(self.here(compose()["services"][name]["command"])), cwd=REPOSITORY,
                env=self.environment(name), stdout=said, stderr=subprocess.STDOUT,
                start_new_session=True,
            )  # fmt: skip

    def is_well(self, name: str) -> bool:
        """What its own health check says."""
        kind, *words = compose()["services"][name]["healthcheck"]["test"]
        words = [self.here(word) for word in words]
        command = ["sh", "-c", *words] if kind == "CMD-SHELL" else words
        done = subprocess.run(
            command, cwd=REPOSITORY, env=self.environment(name), capture_output=True
        )
        return done.returncode == 0

    def stop(self) -> None:
        """End what was started here."""
        for process in self.started.values():
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGTERM)
        for process in self.started.values():
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=20)
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def _set(value: object) -> str:
    """A value of the file whose variables nobody set: its default, or nothing."""
    found = str(value)
    for match in _VARIABLE.finditer(found):
        default = match.group(0)[2:-1].partition(":-")[2]
        found = found.replace(match.group(0), default)
    return found
