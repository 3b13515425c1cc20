"""The broker killed with -9: people work on, it is said, and what waited leaves by itself."""

import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests import smtp
from tests.faults.conftest import Made
from tests.faults.deeds import Crowd, Person
from tests.faults.whole import Whole, at_random, running
from tests.machine.conftest import wait_until
from tests.servers import free_port, redis_program

pytestmark = [pytest.mark.server, pytest.mark.once]
AWAY = "The broker does not answer: mail and pictures wait"


def _all_left(whole: Whole, crowd: Crowd, mail: smtp.Received) -> bool:
    wanted = set(crowd.told.kept.get("message", []))
    return wanted <= {message["Subject"] for message in mail.messages}


def _says_so(crowd: Crowd, path: str) -> bool:
    return AWAY in crowd.person.look(path)[1]


def test_broker_of_a_start_is_started_anew_and_the_mail_leaves(
    made: Made, mail_server: smtp.Received
) -> None:
    whole, crowd = made()
    with running(whole):
        deeds = (Person.message, Person.photo, Person.note)
        crowd.do_each(deeds)
        with crowd.at_work(deeds):
            at_random(2, (0.5, 1.5), lambda: whole.kill("valkey-server"))
            time.sleep(1)
        assert wait_until(lambda: whole.parts("valkey-server"), 60)
        assert wait_until(lambda: whole.ready()["broker"] == "The broker answers.", 60)
        # The worker notices within half a minute, the sweep comes once a minute; and this runs
        # beside all other tests: what is held to is that all leave, once, not how soon.
        assert wait_until(lambda: _all_left(whole, crowd, mail_server), 300), whole.said
    assert whole.check(crowd) > 5  # three before, and one of each of four people
    subjects = [message["Subject"] for message in mail_server.messages]
    assert len(subjects) == len(set(subjects))


@contextmanager
def _redis(port: int, folder: Path) -> Iterator["subprocess.Popen[bytes]"]:
    command = [str(redis_program()), "--port", str(port), "--bind", "127.0.0.1", "--save", ""]
    process = subprocess.Popen([*command, "--dir", str(folder)], stdout=subprocess.DEVNULL)
    try:
        yield process
    finally:
        process.kill()
        process.wait()


@pytest.mark.fault
def test_shop_with_a_redis_of_its_own_says_that_it_is_away(
    made: Made, mail_server: smtp.Received, tmp_path: Path
) -> None:
    port = free_port()
    whole, crowd = made(REDIS_URL=f"redis://127.0.0.1:{port}/0")
    with running(whole):  # before the Redis is there, as after a power cut
        crowd.do_each()
        assert whole.ready()["broker"].startswith(AWAY)
        assert _says_so(crowd, "/")
        assert _says_so(crowd, "/messages/")
        with _redis(port, tmp_path):
            assert wait_until(lambda: _all_left(whole, crowd, mail_server), 90), whole.said
        crowd.do_each([Person.message, Person.note])  # killed: people work on
        assert wait_until(lambda: _says_so(crowd, "/"), 30)
    assert whole.check(crowd) == 7


@pytest.mark.fault
def test_every_message_leaves_though_the_broker_is_killed_twelve_times(
    made: Made, mail_server: smtp.Received
) -> None:
    whole, crowd = made()
    with running(whole):
        with crowd.at_work():
            at_random(12, (0.5, 4.0), lambda: _kill_once_there(whole))
        begun = time.monotonic()
        assert wait_until(lambda: _all_left(whole, crowd, mail_server), 200), whole.said
        took = time.monotonic() - begun
    kept = whole.check(crowd)
    ids = {message["Message-ID"] for message in mail_server.messages}
    print(  # noqa: T201 – the figures are what the long run is for
        f"\n12 kills of the broker: {kept} deeds acknowledged, 0 lost; all {len(ids)} messages "
        f"had left {took:.0f} s after the last; {len(mail_server.messages) - len(ids)} repeats"
    )
    assert len(ids) == len(crowd.told.kept["message"])


def _kill_once_there(whole: Whole) -> None:
    assert wait_until(lambda: whole.parts("valkey-server"), 40)
    whole.kill("valkey-server")
