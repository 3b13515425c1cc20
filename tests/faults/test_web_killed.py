"""The web server killed with -9 while people work: what was answered is kept, and it comes back."""

import os
import random
import signal
import time
from urllib.parse import urlencode
from uuid import uuid4

import pytest

from tests.faults.conftest import Made
from tests.faults.deeds import FORM, Crowd
from tests.faults.whole import SEED, Whole, at_random, running
from tests.machine.conftest import wait_until

pytestmark = [pytest.mark.server, pytest.mark.once]


def _kill_and_wait(whole: Whole, dice: random.Random) -> None:
    """Its main process, which is started anew by the launcher, or one that answers."""
    found = whole.parts("granian")
    victim = found[0] if dice.random() < 0.3 else dice.choice(found)
    os.kill(victim, signal.SIGKILL)
    assert wait_until(lambda: _is_back(whole, victim), 60), whole.said


def _is_back(whole: Whole, victim: int) -> bool:
    there = whole.parts("granian")
    return len(there) > 1 and victim not in there and whole.is_up()


def _killed(whole: Whole, crowd: Crowd, times: int, within_s: tuple[float, float]) -> int:
    """Kill it that many times at work; how many deeds were acknowledged meanwhile."""
    dice = random.Random(SEED)  # noqa: S311 – whom, no secret
    with running(whole):
        with crowd.at_work():
            at_random(times, within_s, lambda: _kill_and_wait(whole, dice))
            time.sleep(1)
        _done_once_though_it_was_cut_off(whole, crowd)
    return whole.check(crowd)


def test_what_was_answered_is_there_after_two_kills(made: Made) -> None:
    whole, crowd = made()
    assert _killed(whole, crowd, 2, (0.5, 1.5)) > 10


def _done_once_though_it_was_cut_off(whole: Whole, crowd: Crowd) -> None:
    """Somebody who got no answer sends the same form again."""
    number, _order = crowd.builds[-1]
    form = {"token": str(uuid4()), "expected": "booked"}
    path, body = f"/build/{number}/move/", urlencode(form).encode()
    assert crowd.person.post(path, body, FORM)[0] == 303
    assert crowd.person.post(path, body, FORM)[0] == 303
    status, page = crowd.person.look(f"/build/{number}/")
    assert (status, "Something broke" in page) == (200, False)


@pytest.mark.fault
def test_what_was_answered_is_there_after_eight_kills(made: Made) -> None:
    whole, crowd = made()
    kept = _killed(whole, crowd, 8, (0.2, 2.0))
    print(  # noqa: T201 – the figures are what the long run is for
        f"\n8 kills of the web server: {kept} deeds acknowledged, 0 lost; "
        f"{crowd.told.statuses[0]} were cut off without an answer"
    )
