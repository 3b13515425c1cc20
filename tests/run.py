"""`manage.py test`: throwaway servers, the suite on SQLite and, of what touches a database, on
PostgreSQL; all stopped.

--fast   only what needs no server, on SQLite
--long   also the long set, which pulls plugs for minutes
Everything else goes to pytest, as in `manage.py test tests/dispatch -x`.
"""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from contextlib import ExitStack
from typing import IO

from tests import servers

NO_TESTS = 5  # pytest's exit code when nothing was chosen
ON_SQLITE_ALONE = ("browser", "fault", "once")
ALIKE = {"ONLY_WITH_A_DATABASE": "1"}  # what touches none is the same beside both


def main(arguments: list[str]) -> int:
    """Run the tests; the exit code is pytest's."""
    if {"-h", "--help"} & set(arguments):
        say(str(__doc__))
        return 0
    rest = [argument for argument in arguments if argument not in {"--fast", "--long"}]
    # The environment of whoever types this must not reach the tests.
    for name in ("DATABASE_URL", "REDIS_URL", "EMAIL_URL", "HILTYARD_DATA", "HTTPS"):
        os.environ.pop(name, None)
    if "--fast" in arguments:
        return run(rest, {}, but=("server", "browser", "fault"), on="SQLite")
    try:
        servers.check_machine()
        return everything(rest, long="--long" in arguments)
    except servers.Missing as lack:
        sys.stderr.write(f"{lack}\n")
        return 1


def everything(rest: list[str], long: bool) -> int:
    """The suite on SQLite and, at the same time, on PostgreSQL, whose output follows."""
    with ExitStack() as running:
        # A Redis each: every folder of tests takes a database of its own there, by number.
        ours, theirs = (
            running.enter_context(servers.redis()),
            running.enter_context(servers.redis()),
        )
        database = running.enter_context(servers.postgresql())
        said = running.enter_context(tempfile.TemporaryFile())
        if not long:
            say("The long set, marked fault, is left out; --long adds it.")
        on_postgresql = {**_environment(theirs), "DATABASE_URL": database, **ALIKE}
        second = _start(rest, on_postgresql, but=ON_SQLITE_ALONE, output=said)
        running.callback(_end, second)
        first = run(rest, _environment(ours), but=() if long else ("fault",), on="SQLite")
        code = second.wait()
        say("On PostgreSQL, all that touches a database:")
        said.seek(0)
        shutil.copyfileobj(said, sys.stdout.buffer)
        sys.stdout.flush()
    # A path may hold tests for one of the two alone, never for neither.
    return next((each for each in (first, code) if each not in {0, NO_TESTS}), min(first, code))


def _environment(redis: str) -> dict[str, str]:
    return {
        "REDIS_URL": f"{redis}/0",
        "TEST_REDIS_URL": redis,  # of which each folder of tests takes a database of its own
        "CHROMIUM": str(servers.browser_program()),
        "NOTHING_SKIPPED": "1",
    }


def run(rest: list[str], environment: dict[str, str], but: tuple[str, ...], on: str) -> int:
    """One run of pytest."""
    say(f"On {on}:")
    return _start(rest, environment, but, None).wait()


def _start(
    rest: list[str], environment: dict[str, str], but: tuple[str, ...], output: IO[bytes] | None
) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "pytest", *rest]
    if but:
        command += ["-m", " and ".join(f"not {marker}" for marker in but)]
    said = None if output is None else subprocess.STDOUT
    return subprocess.Popen(command, env={**os.environ, **environment}, stdout=output, stderr=said)


def _end(process: subprocess.Popen[bytes]) -> None:
    if process.poll() is None:
        process.terminate()
    process.wait()


def say(line: str) -> None:
    """Print one line at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _stop(number: int, frame: object) -> None:
    raise SystemExit(128 + number)


if __name__ == "__main__":
    # Unwinds, so that no server is left behind; pytest gets a Ctrl-C of its own.
    signal.signal(signal.SIGTERM, _stop)
    try:
        sys.exit(main(sys.argv[1:]))
    except KeyboardInterrupt:
        sys.exit(130)
