"""`manage.py start`: makes the shop ready, then runs it until someone stops it."""

import os
import signal
import sys
import traceback
from collections.abc import Callable
from typing import NoReturn

from django.core.management import CommandError, call_command
from django.db import connection

from shop import claims, env, folder, running, static_files
from shop.children import say
from shop.claims import Refusal
from shop.house.queries import is_set_up
from shop.running import reachable_as, url_host


def start(host: str, port: int, demo: bool) -> None:
    """Claim the folder and the address, bring the database up to date, run the shop."""
    held = claims.hold_folder()
    claims.check_address(host, port)
    folder.begin_counting()
    _in_a_child(lambda: _make_ready(host, port, demo))
    set_up = is_set_up()
    if set_up:
        env.setup_code_file().unlink(missing_ok=True)
    else:
        env.make_setup_code()
    connection.close()
    _become(running.command(host, port, held, set_up), held)


def _become(command: list[str], held: int) -> NoReturn:
    """Go on as a program that holds none of what the making ready needed: same process, less of it.

    The lock of the data folder goes along. :param held: its handle.
    """
    os.set_inheritable(held, True)
    # Whoever stops it just now is heard by the program that follows, once it listens.
    signal.pthread_sigmask(signal.SIG_BLOCK, running.ENDING)
    sys.stdout.flush()
    around = {**os.environ, "PYTHONPATH": os.pathsep.join(_paths())}
    os.execve(command[0], command, around)  # noqa: S606 – our own module


def _paths() -> list[str]:
    before = os.environ.get("PYTHONPATH")
    return [str(env.BASE_DIR), *([before] if before else [])]


def _make_ready(host: str, port: int, demo: bool) -> None:
    call_command("migrate", interactive=False, verbosity=0, skip_checks=False)
    _count_roughly()
    static_files.collect()
    if demo:
        _fill(f"http://{url_host(reachable_as(host))}:{port}")


def _count_roughly() -> None:
    """Let SQLite look how full its tables are: it chooses its indices by that, and never looks by
    itself. A thousand rows of each index: a tenth of a second in a shop of ten years.
    """
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA analysis_limit = 1000")
            cursor.execute("ANALYZE")


def _in_a_child(deed: Callable[[], None]) -> None:
    """Do something in a process of its own: what it took of memory goes with it.

    The launcher lives as long as the shop, and the states that migrations are made of are large.
    """
    sys.stdout.flush()
    child = os.fork()
    if child == 0:
        os._exit(_status_of(deed))
    _pid, ended = os.waitpid(child, 0)
    if ended:
        sys.exit(os.waitstatus_to_exitcode(ended) if os.WIFEXITED(ended) else 1)


def _status_of(deed: Callable[[], None]) -> int:
    """0, or 1 with its own words where it failed."""
    try:
        deed()
    except Refusal as refusal:
        sys.stderr.write(f"{refusal}\n")
        return 1
    except KeyboardInterrupt:
        return 130
    except Exception:
        traceback.print_exc()
        return 1
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
    return 0


def _fill(address: str) -> None:
    if is_set_up():
        say("The shop is set up already; --demo fills an empty one, so it is passed over")
        return
    try:
        call_command("demo", address=address)
    except CommandError as error:
        raise Refusal(str(error)) from error
