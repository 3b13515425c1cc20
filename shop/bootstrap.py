"""Makes a fresh machine ready: `.venv` and the locked packages, with the standard library alone.

Nothing newer than Python 3.6 is written here, so that an old Python can read the file and say
what it lacks. Other rooms are imported only once the right Python runs inside `.venv`.
"""

import fcntl
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from contextlib import contextmanager
from typing import Iterator  # noqa: UP035 (where an old Python has it)

BASE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
VENV = os.path.join(BASE, ".venv")
PYTHON = os.path.join(VENV, "bin", "python")
LOCKS = os.path.join(BASE, ".locks")
LOCKED = ("runtime", "s3", "dev")  # each holds all of those before it
LOG = os.path.join(VENV, "install.log")
OLDEST, NEWEST = (3, 11), (3, 13)
OURS = "Hiltyard's own: start [--demo] [--host H] [--port P], test [--fast | --long] [path]."


class Refusal(Exception):
    """One sentence that says what to type."""


def main(argv: "list[str]") -> int:
    """Make the machine ready for a command, then run it inside `.venv`."""
    command = argv[1] if len(argv) > 1 else "help"
    try:
        check_python(sys.version_info[:2])
        make_ready("dev" if command == "test" else wanted())
    except Refusal as refusal:
        sys.stderr.write(f"{refusal}\n")
        return 1
    except KeyboardInterrupt:
        return 130
    if command == "help":
        say(OURS)
    return hand_over(argv, command)


def check_python(version: "tuple[int, int]") -> None:
    """Refuse a Python that the packages do not run on."""
    if not OLDEST <= version <= NEWEST:
        raise Refusal(
            "Hiltyard needs Python 3.11, 3.12 or 3.13 and this is {}.{}: install python3.11 and "
            "type: python3.11 manage.py start".format(*version)
        )


def make_ready(lock: str) -> None:
    """Make `.venv` and install a lock into it, unless both are there already."""
    if in_venv() and installed(lock):
        return
    try:
        with one_at_a_time():
            if not sound():
                make_venv()
            if not installed(lock):
                install(lock)
    except OSError as error:
        raise Refusal(
            f"The folder {BASE} cannot be written to ({error.strerror}): make it yours with "
            f"`sudo chown -R $USER {BASE}` and type the command again."
        ) from error


def in_venv() -> bool:
    """Whether this Python is the one of `.venv`."""
    return os.path.realpath(sys.prefix) == os.path.realpath(VENV)


@contextmanager
def one_at_a_time() -> "Iterator[None]":
    """Let a second command wait while the first one installs."""
    folder = os.open(LOCKS, os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def sound() -> bool:
    """Whether `.venv` has a Python that runs, is of a good version, and has pip."""
    check = f"import pip, sys; sys.exit(not {OLDEST} <= sys.version_info[:2] <= {NEWEST})"
    try:
        return subprocess.call([PYTHON, "-c", check], stderr=subprocess.DEVNULL) == 0
    except OSError:
        return False


def make_venv() -> None:
    """Make `.venv` anew."""
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        raise Refusal(
            "This Python has no venv module: type `sudo apt install python{}.{}-venv` and then "
            "the same command again.".format(*sys.version_info[:2])
        )
    say("Making .venv with Python {}.{}.{}".format(*sys.version_info[:3]))
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", VENV],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
    )
    if made.returncode:
        last = made.stdout.decode(errors="replace").strip().rpartition("\n")[2]
        raise Refusal(
            f"Python could not make .venv ({last}): see that {BASE} can be written to and has "
            "room, and type the command again."
        )


def wanted() -> str:
    """The lock that a shop runs on: with an object store once somebody installed that one."""
    return "s3" if os.path.exists(stamp("s3")) else "runtime"


def lock_file(lock: str) -> str:
    """The path of a lock."""
    return os.path.join(LOCKS, lock + ".txt")


def stamp(lock: str) -> str:
    """The path of the stamp that says which state of a lock is installed."""
    return os.path.join(VENV, lock + ".stamp")


def digest(lock: str) -> str:
    """What the stamp holds: the lock's hash."""
    with open(lock_file(lock), "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()


def installed(lock: str) -> bool:
    """Whether `.venv` holds this very lock, or one that holds all of it."""
    for name in LOCKED[LOCKED.index(lock) :]:
        if os.path.exists(stamp(name)):
            with open(stamp(name)) as file:
                if file.read() == digest(name):
                    return True
    return False


def install(lock: str) -> None:
    """Install a lock with pip, a plain line for each package."""
    with open(lock_file(lock)) as file:
        total = sum("==" in line and not line.startswith(" ") for line in file)
    say(f"Fetching up to {total} packages, as {lock_file(lock)[len(BASE) + 1 :]} names them")
    for name in LOCKED:
        if os.path.exists(stamp(name)):
            os.remove(stamp(name))
    if pip(lock) != 0:
        shutil.copyfile(LOG, LOG + ".failed")
        raise Refusal(
            "The packages could not be fetched or put in place: see that this machine reaches "
            "the internet and has room on its disk, then type the same command again (pip's own "
            f"words are in {LOG})."
        )
    with open(stamp(lock), "w") as file:
        file.write(digest(lock))


def pip(lock: str) -> int:
    """Run pip; its whole output goes to a log, the names of the packages to the screen."""
    command = [PYTHON, "-m", "pip", "install", "--require-hashes", "--no-deps", "--no-input"]
    command += ["--disable-pip-version-check", "--progress-bar", "off", "-r", lock_file(lock)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    fetched = 0
    with open(LOG, "wb") as log:
        for line in process.stdout or ():
            log.write(line)
            words = line.decode(errors="replace").split()
            if words[:1] == ["Collecting"]:
                fetched += 1
                say("  {:3} {}".format(fetched, words[1].replace("==", " ")))
            elif words[:2] == ["Installing", "collected"]:
                say("  putting them in place")
    return process.wait()


def hand_over(argv: "list[str]", command: str) -> int:
    """Go on inside `.venv`: the tests and every other command."""
    os.environ.setdefault("PYTHONUNBUFFERED", "1")
    if command == "test":
        os.chdir(BASE)
        os.execv(PYTHON, [PYTHON, "-m", "tests.run", *argv[2:]])
    if not in_venv():
        os.execv(PYTHON, [PYTHON, *argv])
    # Needs the packages of .venv and today's syntax; an import at the top would fail before them.
    from shop.commands import run  # noqa: PLC0415

    return run(argv)


def say(line: str) -> None:
    """Print one line at once."""
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    try:
        make_ready(sys.argv[1] if len(sys.argv) > 1 else "runtime")
    except Refusal as refusal:
        sys.exit(str(refusal))
