"""A shop that runs: web server, worker with its clock, and broker, in one terminal."""

import ipaddress
import os
import signal
import socket
import sys
import time
from collections.abc import Callable, Sequence
from types import FrameType

from shop import broker, env
from shop.children import Keeper, say

# Without Django: it lives as long as the shop does, and that would be its largest part.

# One process of the web server serves a workshop, and more than twenty people in a test; each
# further one takes 100 MB. With four threads or fewer, six slow phones hold up everyone else.
PROCESSES, THREADS = "1", 8
WSGI, LOOPBACK = "shop.wsgi:application", "127.0.0.1"
# Eight threads that each hold a heap of their own hold several times what they use.
AROUND = {"PYTHONUNBUFFERED": "1", "MALLOC_ARENA_MAX": "2", "MALLOC_TRIM_THRESHOLD_": "131072"}
ENDING = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
NOISE = {
    "broker": ("Memory overcommit", "Received SIGTERM", "ready to exit", "user requested shutdown"),
    "worker": ("Warm shutdown",),
    "web": ("seems quite high compared to the number of CPU cores",),
}
READY_WITHIN = 30.0  # seconds
LOOK_EVERY = 1.0  # seconds between two looks for the end of the first set-up


def web_command(host: str, port: int) -> list[str]:
    """The web server."""
    command = [sys.executable, "-m", "granian", "--interface", "wsgi", WSGI, "--no-ws"]
    processes = env.text("WEB_PROCESSES", PROCESSES)
    command += ["--workers", processes, "--blocking-threads", str(THREADS)]
    command += ["--host", host, "--port", str(port), "--http", "1", "--log-level", "warning"]
    return [*command, "--respawn-failed-workers", "--workers-kill-timeout", "5"]


def worker_command() -> list[str]:
    """The worker; the clock lives inside it."""
    # The packages warn of root; a container's root, or a shop's only account, is the shop's affair.
    mute = "ignore:You're running the worker with superuser privileges"
    command = [
        sys.executable,
        "-W",
        mute,
        "-m",
        "celery",
        "--quiet",
        "--app",
        "shop.celery",
        "worker",
    ]
    return [*command, "--loglevel", "WARNING", "--without-gossip", "--without-mingle"]


def is_loopback(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def reachable_as(host: str) -> str:
    """The host as others write it: for "all addresses", the one that leads out of this machine."""
    if host not in {"0.0.0.0", "::", ""}:  # noqa: S104 (compared, not bound)
        return host
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # sends nothing; only asks for the way there
        except OSError:
            return LOOPBACK
        return str(probe.getsockname()[0])


def url_host(host: str) -> str:
    """A host as an address of a page writes it."""
    return f"[{host}]" if ":" in host else host


class Running:
    """The children of one start, and what they wait for."""

    def __init__(self, host: str, port: int, held: int, is_set_up: bool) -> None:
        """:param held: the lock of the data folder, which the guard goes on holding."""
        self.host, self.port = host, port
        self.asked_to_stop = 0
        self.announced = False
        self.set_up = is_set_up
        self.look_at = 0.0
        for number in ENDING:
            signal.signal(number, self._on_signal)
        # From here on one that came while this program was loading is heard.
        signal.pthread_sigmask(signal.SIG_UNBLOCK, ENDING)
        self.keeper = Keeper(env.BASE_DIR, {**os.environ, **AROUND}, held)

    def until_stopped(self) -> None:
        """Start the children in order, keep them running, stop them in the opposite order."""
        try:
            self._start()
            while not self.asked_to_stop:
                self.keeper.tick(0.25)
                self._announce()
                self._watch_set_up()
            say("stopping")
        finally:
            self.keeper.stop()
        say("stopped")

    def _on_signal(self, number: int, frame: FrameType | None) -> None:
        self.asked_to_stop += 1
        if self.asked_to_stop > 1:
            self.keeper.kill()

    def _start(self) -> None:
        if not env.text("REDIS_URL"):
            self.keeper.add("broker", broker.command(), NOISE["broker"])
            self._wait_for(env.broker_socket().exists)
        self.keeper.add("worker", worker_command(), NOISE["worker"])
        self.keeper.add("web", web_command(self._listens_on(), self.port), NOISE["web"])

    def _wait_for(self, ready: Callable[[], bool]) -> None:
        deadline = time.monotonic() + READY_WITHIN
        while not self.asked_to_stop and not ready() and time.monotonic() < deadline:
            self.keeper.tick(0.02)

    def _listens_on(self) -> str:
        # Whoever reaches an empty shop first could make it theirs: loopback until it is set up.
        return self.host if self.set_up else LOOPBACK

    def _announce(self) -> None:
        if self.announced or not _answers(reachable_as(self._listens_on()), self.port):
            return
        code = env.setup_code()
        if not self.set_up and not code:
            return  # it was set up this moment, and is looked at again
        self.announced = True
        address = f"http://{url_host(reachable_as(self._listens_on()))}:{self.port}/"
        if self.set_up:
            say(f"Open {address} (Ctrl-C here stops everything)")
        else:
            say(f"Open {address} and give the code {code}")

    def _watch_set_up(self) -> None:
        if self.set_up or time.monotonic() < self.look_at:
            return
        self.look_at = time.monotonic() + LOOK_EVERY
        # The code opens the first set-up, and goes with it.
        self.set_up = not env.setup_code_file().exists()
        if self.set_up:
            self._open_up()

    def _open_up(self) -> None:
        say("The shop is set up")
        self.announced = False
        if not is_loopback(self.host):
            time.sleep(1)  # the answer to the set-up itself is still on its way
            self.keeper.replace("web", web_command(self.host, self.port))


def _answers(host: str, port: int) -> bool:
    try:
        with socket.create_connection((host, port), timeout=0.2):
            return True
    except OSError:
        return False


def command(host: str, port: int, held: int, is_set_up: bool) -> list[str]:
    """What the launcher becomes once the shop is made ready."""
    told = [host, str(port), str(held), "set-up" if is_set_up else "empty"]
    # -P: not what happens to lie in the folder in which somebody typed the command.
    return [sys.executable, "-P", "-m", "shop.running", *told]


def main(told: Sequence[str]) -> int:
    """Run the shop until it is stopped; the exit code."""
    host, port, held, stands = told
    try:
        Running(host, int(port), int(held), stands == "set-up").until_stopped()
    except broker.NoBroker as error:
        sys.stderr.write(f"{error}\n")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
