"""Real servers for the tests that pull plugs, and whole shops that are ready to be started."""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from redis import Redis

from tests import servers, smtp
from tests.faults.deeds import Crowd
from tests.faults.whole import Whole

DATABASE = 9  # of a Redis that other tests use too
PEOPLE, BUILDS = 4, 160


@pytest.fixture
def broker() -> Iterator[str]:
    """The address of an empty Redis: of the one that the run names, or of one of our own."""
    named = os.environ.get("TEST_REDIS_URL")
    if named:
        Redis.from_url(f"{named}/{DATABASE}").flushdb()
        yield f"{named}/{DATABASE}"
        return
    if not servers.redis_program():
        pytest.skip("needs a Redis: type `python3 manage.py test`, or set TEST_REDIS_URL")
    with servers.redis() as url:
        yield f"{url}/0"


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Crowd]:
    """A shop with people and builds, made once; and who they are."""
    whole = Whole(tmp_path_factory.mktemp("template") / "shop")
    whole.data.mkdir(mode=0o700)
    crowd = whole.filled(PEOPLE, BUILDS)
    whole.run("manage.py", "shell", "-v0", "-c", "from shop.static_files import collect; collect()")
    return whole.data, crowd


@pytest.fixture
def mail_server() -> Iterator[smtp.Received]:
    """Where the shop's mail goes."""
    with smtp.running() as server:
        yield server


Made = Callable[..., tuple[Whole, Crowd]]


@pytest.fixture
def made(
    tmp_path: Path, template: tuple[Path, Crowd], mail_server: smtp.Received
) -> Iterator[Made]:
    """Makes shops like the template; ends what still runs of them after the test."""
    there: list[Whole] = []

    def make(data: Path | None = None, **more: str) -> tuple[Whole, Crowd]:
        whole = Whole(data or tmp_path / "shop", {"EMAIL_URL": mail_server.url, **more})
        shutil.copytree(template[0], whole.data, dirs_exist_ok=True)
        there.append(whole)
        return whole, Crowd(whole.port, template[1].sessions, template[1].builds)

    yield make
    for whole in there:
        whole.stop()
