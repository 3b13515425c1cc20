"""Keeps child processes running: starts them, shows what they say, starts the dead anew, stops all.

One thread and one loop, so that a signal, a death and a line of output are met in turn.
"""

import contextlib
import ctypes
import json
import os
import selectors
import signal
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from shop import env, guard

SHORTEST, LONGEST = 0.5, 15.0  # seconds before a dead child is started anew
SETTLED = 30.0  # a child that ran this long died of something new
PATIENCE = 12.0  # seconds for a child to end by itself
_LIBC = ctypes.CDLL(None) if sys.platform == "linux" else None
_PR_SET_PDEATHSIG = 1


def say(line: str, name: str = "hiltyard") -> None:
    """Print one line under the name of the process that it comes from."""
    # A terminal that was closed must not keep the rest from stopping in order.
    with contextlib.suppress(OSError, ValueError):
        sys.stdout.write(f"{_shown(line, name)}\n")
        sys.stdout.flush()


def _shown(line: str, name: str) -> str:
    if env.text("LOG_FORMAT") != "json":
        return f"{name:<9}{line}"
    if line.startswith("{"):  # our own processes say it as JSON already
        return f"{{{json.dumps('process')}: {json.dumps(name)}, {line[1:]}"
    return json.dumps({"process": name, "at": datetime.now(UTC).isoformat(), "said": line})


def _end_with_owner() -> None:
    # A second string to the guard's bow, on Linux alone.
    if _LIBC is not None:
        _LIBC.prctl(_PR_SET_PDEATHSIG, signal.SIGTERM)


@dataclass
class Child:
    """One program that is to run, and the process that runs it now."""

    name: str
    command: Sequence[str]
    noise: Sequence[str] = ()  # lines with one of these are not worth the terminal
    process: subprocess.Popen[bytes] | None = None
    started: float = 0.0
    wait: float = SHORTEST
    due: float = field(default=0.0)
    unfinished: bytes = b""


class Keeper:
    """The children, in the order in which they were added; they stop in the opposite order."""

    def __init__(self, folder: Path, environment: Mapping[str, str], held: int) -> None:
        """:param held: a file that the guard keeps open (and so locked) as long as it runs."""
        self.folder, self.environment, self.held = folder, dict(environment), held
        self.children: dict[str, Child] = {}
        self.output = selectors.DefaultSelector()
        self.guard = self._start_guard()

    def add(self, name: str, command: Sequence[str], noise: Sequence[str] = ()) -> None:
        """Start a program and keep it running."""
        self.children[name] = Child(name, command, noise)
        self._start(self.children[name])

    def replace(self, name: str, command: Sequence[str]) -> None:
        """Stop a program and run another in its place."""
        self._stop(self.children[name])
        self.add(name, command, self.children[name].noise)

    def tick(self, seconds: float) -> None:
        """Wait a moment for output; then see to the dead."""
        self._show(seconds)
        if self.guard.poll() is not None:
            self.guard = self._start_guard()
        for child in self.children.values():
            if child.process is not None and child.process.poll() is not None:
                self._bury(child)
            if child.process is None and time.monotonic() >= child.due:
                self._start(child)

    def stop(self) -> None:
        """Stop all, the last added first, and then the guard."""
        for child in reversed(self.children.values()):
            self._stop(child)
        if self.guard.stdin is not None:
            self.guard.stdin.close()
        self.guard.wait()

    def kill(self) -> None:
        """Stop all at once: for one who asks a second time."""
        for child in self.children.values():
            if child.process is not None:
                guard.send({child.process.pid}, signal.SIGKILL)

    def _start_guard(self) -> subprocess.Popen[bytes]:
        process = subprocess.Popen(  # noqa: S603 (our own file)
            [sys.executable, "-I", "-S", guard.__file__],
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            start_new_session=True,
            pass_fds=[self.held],
        )
        self.guard = process
        for child in self.children.values():
            if child.process is not None:
                self._tell(f"+ {child.process.pid}")
        return process

    def _tell(self, line: str) -> None:
        # A guard that was killed is started anew at the next tick and told the whole list.
        if self.guard.stdin is not None:
            with contextlib.suppress(BrokenPipeError):
                os.write(self.guard.stdin.fileno(), f"{line}\n".encode())

    def _start(self, child: Child) -> None:
        child.process = subprocess.Popen(  # noqa: S603 (commands are the launcher's own)
            child.command,
            cwd=self.folder,
            env=self.environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,  # Ctrl-C reaches the launcher alone, which stops in order
            preexec_fn=_end_with_owner,
        )
        child.started = time.monotonic()
        self._tell(f"+ {child.process.pid}")
        if child.process.stdout is not None:
            os.set_blocking(child.process.stdout.fileno(), False)
            self.output.register(child.process.stdout, selectors.EVENT_READ, child)

    def _show(self, seconds: float) -> None:
        for key, _ in self.output.select(seconds):
            _show_lines(key.data, os.read(key.fd, 65536))

    def _forget(self, child: Child) -> None:
        """Sweep up what a dead child left: its own children, its output, its place in the list."""
        if child.process is None:
            return
        guard.send({child.process.pid}, signal.SIGKILL)
        if child.process.stdout is not None:
            with contextlib.suppress(BlockingIOError):
                while data := os.read(child.process.stdout.fileno(), 65536):
                    _show_lines(child, data)
            self.output.unregister(child.process.stdout)
            child.process.stdout.close()
        self._tell(f"- {child.process.pid}")
        child.process = None

    def _bury(self, child: Child) -> None:
        ran = time.monotonic() - child.started
        child.wait = SHORTEST if ran > SETTLED else child.wait
        code = child.process.returncode if child.process else 0
        say(f"ended ({_in_words(code)}); starting it anew in {child.wait:g} s", child.name)
        self._forget(child)
        child.due = time.monotonic() + child.wait
        child.wait = min(child.wait * 2, LONGEST)

    def _stop(self, child: Child) -> None:
        if child.process is None:
            return
        deadline = time.monotonic() + PATIENCE
        child.process.terminate()
        while child.process.poll() is None and time.monotonic() < deadline:
            self._show(0.05)
        if child.process.poll() is None:
            say("did not stop when asked; ended", child.name)
            guard.send({child.process.pid}, signal.SIGKILL)
            child.process.wait()
        self._forget(child)


def _show_lines(child: Child, data: bytes) -> None:
    *lines, child.unfinished = (child.unfinished + data).split(b"\n")
    for line in (raw.decode(errors="replace").rstrip() for raw in lines):
        if line and not any(words in line for words in child.noise):
            say(line, child.name)


def _in_words(code: int) -> str:
    return f"exit code {code}" if code >= 0 else f"signal {-code}"
