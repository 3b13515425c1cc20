"""`manage.py start`: what it makes, what it refuses, and that it leaves nothing behind."""

import os
import re
import signal
import socket
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.machine.conftest import (
    REPOSITORY,
    Shop,
    Start,
    clean_environment,
    living,
    run_start,
    running,
    wait_until,
)
from tests.servers import free_port

pytestmark = [pytest.mark.server, pytest.mark.once]
EVERYWHERE = "0.0.0.0"  # noqa: S104 (what these tests are about)
SET_UP = (
    "from shop.house.models import House; from shop.clock import now; from shop import env; "
    "House.objects.create(name='Larkhill Works', set_up_at=now()); env.setup_code_file().unlink()"
)


def _set_up(shop: Shop) -> None:
    command = [sys.executable, "manage.py", "shell", "-v", "0", "-c", SET_UP]
    environment = clean_environment(HILTYARD_DATA=str(shop.data))
    subprocess.run(command, cwd=REPOSITORY, env=environment, check=True)


def _answers(host: str, port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex((host, port)) == 0


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """An empty shop for those tests that leave it running."""
    with running(tmp_path_factory.mktemp("machine"), "shop", "--host", EVERYWHERE) as shop:
        yield shop


def test_empty_shop_opens_with_its_address_and_a_code(shop: Shop) -> None:
    code = (shop.data / "keys" / "setup_code").read_text().strip()
    assert f"Open http://127.0.0.1:{shop.port}/ and give the code {code}" in shop.said
    assert shop.status() in {200, 302}


def test_database_and_broker_are_made_in_the_data_folder(shop: Shop) -> None:
    assert (shop.data / "hiltyard.sqlite3").exists()
    assert stat.S_ISSOCK((shop.data / "run" / "broker.sock").stat().st_mode)


def test_ctrl_c_stops_everything_and_leaves_no_process(start: Start) -> None:
    shop = start()
    # guard, broker, web and its one, worker and its one
    assert wait_until(lambda: len(shop.children()) >= 6)
    processes = shop.children()
    assert shop.stop() == 0
    assert living(processes) == set()


def test_second_start_on_one_folder_is_refused(shop: Shop) -> None:
    again = run_start(shop.data, "--port", str(free_port()))
    assert again.returncode == 1
    assert re.fullmatch(rf"Hiltyard already runs on .*kill {shop.process.pid}.*\n", again.stderr)


def test_ctrl_c_before_everything_runs_ends_without_a_trace(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "manage.py", "start", "--port", str(free_port())],
        cwd=REPOSITORY, env=clean_environment(HILTYARD_DATA=str(tmp_path / "shop")),
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        # What runs the tests in the background lets them ignore Ctrl-C, and what they start too.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )  # fmt: skip
    assert wait_until((tmp_path / "shop" / "hiltyard.sqlite3").exists)  # it migrates
    process.send_signal(signal.SIGINT)
    said, _ = process.communicate(timeout=30)
    assert process.returncode in {0, 130}
    assert "Traceback" not in said


def test_start_after_a_killed_launcher_finds_everything_gone(start: Start) -> None:
    shop = start()
    processes = shop.children()
    shop.process.kill()
    shop.process.wait()
    again = start()
    assert living(processes) == set()
    assert again.status() in {200, 302}


def test_start_does_not_wait_until_a_killed_launcher_is_buried(start: Start) -> None:
    shop = start()
    shop.process.kill()  # nobody asks for its end: it stays in the list of processes
    again = start()
    assert again.status() in {200, 302}
    shop.process.wait()


@pytest.mark.parametrize("part", ["valkey-server", "celery", "granian", "guard.py"])
def test_killed_part_is_started_anew(shop: Shop, part: str) -> None:
    before = shop.children(part)
    os.kill(min(before), signal.SIGKILL)
    assert wait_until(lambda: shop.children(part) - before)
    assert wait_until(lambda: shop.status() in {200, 302})
    assert wait_until(lambda: len(shop.children(part)) == len(before))
    assert living({min(before)}) == set()


def test_killed_web_server_leaves_no_process_that_still_answers(shop: Shop) -> None:
    before = shop.children("granian")
    os.kill(min(before), signal.SIGKILL)
    assert wait_until(lambda: not living(before), 5)
    assert wait_until(lambda: shop.status() in {200, 302})  # as the next test expects it


def test_empty_shop_listens_on_loopback_whatever_the_host(shop: Shop) -> None:
    assert wait_until(lambda: _answers("127.0.0.1", shop.port))
    assert not _answers("127.0.0.2", shop.port)


def test_shop_that_is_set_up_opens_on_the_host_that_was_asked_for(start: Start) -> None:
    shop = start("shop", "--host", EVERYWHERE)
    _set_up(shop)
    assert wait_until(lambda: _answers("127.0.0.2", shop.port))
    assert wait_until(lambda: "Ctrl-C here stops everything" in shop.said)


def test_shop_with_a_deep_data_folder_starts(start: Start) -> None:
    assert start("deep" * 30).status() in {200, 302}


def test_shop_whose_folder_has_spaces_and_signs_starts_its_worker(start: Start) -> None:
    shop = start("a shop, 100% & more?")
    assert "Cannot connect" not in shop.said


def test_taken_port_is_refused_with_another_to_type(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        refused = run_start(tmp_path / "shop", "--port", str(port))
    assert refused.returncode == 1
    sentence = rf"Port {port} is taken: type `python3 manage.py start --port \d+`\.\n"
    assert re.fullmatch(sentence, refused.stderr)


def test_address_of_another_machine_is_refused(tmp_path: Path) -> None:
    refused = run_start(tmp_path / "shop", "--host", "192.0.2.77")
    assert refused.returncode == 1
    assert refused.stderr.startswith("This machine has no address 192.0.2.77: type ")


def test_folder_that_cannot_be_made_is_refused(tmp_path: Path) -> None:
    (tmp_path / "shop").write_text("in the way")
    refused = run_start(tmp_path / "shop")
    assert refused.returncode == 1
    assert refused.stderr.count("\n") == 1
    assert "HILTYARD_DATA=" in refused.stderr
