"""`manage.py test`: throwaway servers, the suite on SQLite, the suite on PostgreSQL, all stopped.

--fast   only what needs no server, on SQLite
--long   also the long set, which pulls plugs for minutes
Everything else goes to pytest, as in `manage.py test tests/dispatch -x`.
"""

import os
import signal
import subprocess
import sys
from contextlib import ExitStack

from tests import servers

NO_TESTS = 5  # pytest's exit code when nothing was chosen
ON_SQLITE_ALONE = ("browser", "fault", "once")


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
    """The suite on SQLite and, if that passed, on PostgreSQL."""
    with ExitStack() as running:
        redis = running.enter_context(servers.redis())
        database = running.enter_context(servers.postgresql())
        environment = {
            "REDIS_URL": f"{redis}/0",
            "TEST_REDIS_URL": redis,  # of which each folder of tests takes a database of its own
            "CHROMIUM": str(servers.browser_program()),
            "NOTHING_SKIPPED": "1",
        }
        if not long:
            say("The long set, marked fault, is left out; --long adds it.")
        first = run(rest, environment, but=() if long else ("fault",), on="SQLite")
        if first not in {0, NO_TESTS}:
            return first
        environment["DATABASE_URL"] = database
        second = run(rest, environment, but=ON_SQLITE_ALONE, on="PostgreSQL")
        # A path may hold tests for one of the two alone, never for neither.
        return first if second == NO_TESTS else second


def run(rest: list[str], environment: dict[str, str], but: tuple[str, ...], on: str) -> int:
    """One run of pytest."""
    say(f"On {on}:")
    command = [sys.executable, "-m", "pytest", *rest]
    if but:
        command += ["-m", " and ".join(f"not {marker}" for marker in but)]
    return subprocess.run(command, env={**os.environ, **environment}).returncode


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
