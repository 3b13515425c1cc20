"""PostgreSQL killed with -9 while people work: a plain page meanwhile, and nothing is lost."""

import os
import random
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests import smtp
from tests.faults.deeds import Crowd
from tests.faults.postgres import Cluster, cluster
from tests.faults.whole import SEED, Whole, running, words_of
from tests.machine.conftest import wait_until

pytestmark = [pytest.mark.server, pytest.mark.once]


@pytest.fixture
def database() -> Iterator[Cluster]:
    with cluster() as found:
        yield found


def _made(folder: Path, database: Cluster, mail: smtp.Received, builds: int) -> tuple[Whole, Crowd]:
    whole = Whole(folder / "shop", {"EMAIL_URL": mail.url, "DATABASE_URL": database.url})
    whole.data.mkdir(mode=0o700)
    whole.more["PGOPTIONS"] = "-c synchronous_commit=off"  # for what nobody was promised yet
    crowd = whole.filled(4, builds)
    del whole.more["PGOPTIONS"]
    return whole, crowd


def _kill_a_backend(database: Cluster, dice: random.Random) -> None:
    """PostgreSQL then ends all others as well and recovers, by itself."""
    found = database.backends()
    if found:
        os.kill(dice.choice(found), signal.SIGKILL)


def _is_back(crowd: Crowd) -> bool:
    return crowd.person.look("/")[0] == 200


def _killed(whole: Whole, crowd: Crowd, database: Cluster, times: int) -> int:
    """Kill it that many times at work, in turn its first process and a serving one."""
    dice = random.Random(SEED)  # noqa: S311 – whom and when, no secrets
    with running(whole):
        with crowd.at_work():
            for turn in range(times):
                time.sleep(dice.uniform(0.5, 2.0))
                if turn % 2:
                    _kill_a_backend(database, dice)
                else:
                    database.kill()
                    time.sleep(dice.uniform(0.0, 1.0))
                    database.start_anew()
                assert wait_until(lambda: _is_back(crowd), 60), whole.said
        assert whole.ready()["database"] == "The database answers and is up to date."
    return whole.check(crowd)


def test_page_says_that_the_database_is_away_and_comes_back_by_itself(
    tmp_path: Path, database: Cluster, mail_server: smtp.Received
) -> None:
    whole, crowd = _made(tmp_path, database, mail_server, 24)
    with running(whole):
        with crowd.at_work():
            time.sleep(1.5)
            database.kill()
            status, page = crowd.person.look("/bench/")
            assert status == 503
            assert "What you last sent may not have been kept." in words_of(page)
            assert whole.ready()["database"] == "The database does not answer."
            database.start_anew()
            assert wait_until(lambda: _is_back(crowd), 30)
            _kill_a_backend(database, random.Random(SEED))  # noqa: S311 – no secret
            time.sleep(1)
        assert wait_until(lambda: _is_back(crowd), 30)
        # Whatever was held open to the dead one costs nobody a page.
        assert {crowd.person.look("/bench/")[0] for _ in range(20)} == {200}
    assert whole.check(crowd) > 5


@pytest.mark.fault
def test_nothing_acknowledged_is_lost_in_twelve_kills(
    tmp_path: Path, database: Cluster, mail_server: smtp.Received
) -> None:
    whole, crowd = _made(tmp_path, database, mail_server, 160)
    kept = _killed(whole, crowd, database, 12)
    print(  # noqa: T201 – the figures are what the long run is for
        f"\n12 kills of PostgreSQL: {kept} deeds acknowledged, 0 lost; "
        f"{crowd.told.statuses[503]} were told that it does not answer"
    )
