"""The power is cut while people work: the data folder as it lay then opens, and holds what counts.

Every process is stopped at one moment and the folder copied as the kernel has it. What was only
in the machine's memory and not yet synced cannot be dropped here; that each answer waits for the
sync is shown by strace (tests/machine/test_synced.py), and both together are the power cut.
"""

import os
import random
import shutil
import signal
import time
from copy import deepcopy
from pathlib import Path

import pytest

from tests.faults.conftest import Made
from tests.faults.deeds import Crowd
from tests.faults.whole import SEED, Whole, running

pytestmark = [pytest.mark.server, pytest.mark.once]


def _cut(whole: Whole, crowd: Crowd, into: Path) -> dict[str, list[str]]:
    """The folder at one moment, and what had been acknowledged by then."""
    parts = whole.parts("")
    for pid in parts:
        os.kill(pid, signal.SIGSTOP)
    try:
        with crowd.told.lock:
            acknowledged = deepcopy(crowd.told.kept)
        shutil.copytree(whole.data, into, ignore=_no_sockets)
    finally:
        for pid in reversed(parts):
            os.kill(pid, signal.SIGCONT)
    return acknowledged


def _no_sockets(folder: str, names: list[str]) -> set[str]:
    return {name for name in names if (Path(folder) / name).is_socket()}


def _cuts(whole: Whole, crowd: Crowd, folder: Path, times: int) -> list[tuple[Path, Crowd]]:
    """Cut the power that many times at random moments; what lay there, and who was told what."""
    dice = random.Random(SEED)  # noqa: S311 – moments, no secrets
    found = []
    with running(whole), crowd.at_work():
        for number in range(times):
            time.sleep(dice.uniform(0.3, 1.5))
            then = Crowd(crowd.port, crowd.sessions, crowd.builds)
            then.told.kept = _cut(whole, crowd, folder / f"cut-{number}")
            found.append((folder / f"cut-{number}", then))
    whole.check(crowd)
    return found


def test_shop_opens_after_the_power_was_cut(made: Made, tmp_path: Path) -> None:
    whole, crowd = made()
    *_first, (data, then) = _cuts(whole, crowd, tmp_path, 2)
    after = Whole(data, whole.more)
    after.data.chmod(0o700)
    assert after.check(then) > 2
    then.person.port = then.port = after.port
    with running(after):
        then.do_each()
    assert after.check(then) > 7


@pytest.mark.fault
def test_all_that_was_acknowledged_lies_there_at_each_of_twenty_moments(
    made: Made, tmp_path: Path
) -> None:
    whole, crowd = made()
    counts = [
        Whole(data, whole.more).check(then) for data, then in _cuts(whole, crowd, tmp_path, 20)
    ]
    print(  # noqa: T201 – the figures are what the long run is for
        f"\n20 power cuts: {counts[0]} to {counts[-1]} deeds acknowledged by then, 0 lost, every "
        "database whole"
    )
