"""Real servers for the tests that pull plugs, and whole shops that are ready to be started."""

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from redis import Redis

from tests import servers, smtp
from tests.faults import disks
from tests.faults.deeds import Crowd
from tests.faults.whole import Whole

DATABASE = 9  # of a Redis that other tests use too
PEOPLE, BUILDS = 4, 160
_LEFT_OUT = pytest.StashKey[int]()


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Where nobody may mount a disk, leave out what fills one, and say so aloud."""
    fill = {item for item in items if "small_disk" in getattr(item, "fixturenames", ())}
    if not fill or disks.may_be_had():
        return
    config.hook.pytest_deselected(items=list(fill))
    items[:] = [item for item in items if item not in fill]
    config.stash[_LEFT_OUT] = len(fill)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Name what was left out."""
    count = terminalreporter.config.stash.get(_LEFT_OUT, 0)
    if count:
        terminalreporter.section("left out")
        terminalreporter.line(f"{count} tests that fill a disk: mounting one is refused here.")


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """Where the disk could not be mounted here, run the test where it can."""
    if pyfuncitem.funcargs.get("small_disk", pyfuncitem) is not None:
        return None
    disks.run_in_a_namespace(pyfuncitem.nodeid)
    return True


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path | None]:
    """A folder that is a disk of its own; None where the test is to run in a namespace."""
    folder = tmp_path / "disk"
    folder.mkdir()
    with disks.small(folder) as disk:
        yield disk


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
