"""What a start needs for itself alone: the data folder, and an address to listen on."""

import errno
import fcntl
import os
import socket
import time

from shop import env

PATIENCE = 30.0


class Refusal(Exception):
    """One sentence that says what to type."""


def hold_folder() -> int:
    """Lock the data folder for as long as this process, or its guard, runs."""
    path = env.data_dir() / "run" / "lock"
    held = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    deadline = time.monotonic() + PATIENCE
    while not _locked(held):
        owner = os.pread(held, 20, 0).decode().strip()
        if _lives(owner) or time.monotonic() > deadline:
            raise Refusal(
                f"Hiltyard already runs on {env.data_dir()} (process {owner}): press Ctrl-C in "
                f"its terminal, or type `kill {owner}`, and then type the command again."
            )
        time.sleep(0.1)  # its guard is still clearing up after it
    os.ftruncate(held, 0)
    os.pwrite(held, str(os.getpid()).encode(), 0)
    return held


def _locked(held: int) -> bool:
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _lives(process: str) -> bool:
    try:
        os.kill(int(process), 0)
    except (ValueError, ProcessLookupError):
        return False
    except PermissionError:
        pass
    return not _is_over(process)


def _is_over(process: str) -> bool:
    """Whether a process is dead, and only not buried yet by the one that started it."""
    try:
        with open(f"/proc/{int(process)}/stat", encoding="utf-8", errors="replace") as file:
            return file.read().rpartition(")")[2].split()[0] in {"Z", "X"}
    except OSError:  # no such folder on this system
        return False


def check_address(host: str, port: int) -> None:
    """Refuse an address that cannot be listened on, before anything is started."""
    trouble = _trouble(host, port)
    if trouble == errno.EADDRINUSE:
        free = next((p for p in range(port + 1, port + 50) if not _trouble(host, p)), port + 1)
        raise Refusal(f"Port {port} is taken: type `python3 manage.py start --port {free}`.")
    if trouble == errno.EACCES:
        raise Refusal(f"Port {port} is kept for root: type `python3 manage.py start --port 8000`.")
    if trouble:
        raise Refusal(
            f"This machine has no address {host}: type `python3 manage.py start --host 0.0.0.0` "
            "for all of its addresses, or leave --host out."
        )


def _trouble(host: str, port: int) -> int:
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        with socket.socket(family, kind, protocol) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            probe.bind(address)
    except OverflowError:
        return errno.EADDRNOTAVAIL
    except OSError as error:
        return error.errno or errno.EADDRNOTAVAIL
    return 0
