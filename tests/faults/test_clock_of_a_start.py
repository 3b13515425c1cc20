"""A whole shop whose clock is turned while people work: forward a year, back a day, right again."""

import sys
import time
from pathlib import Path

import pytest

from tests import smtp
from tests.faults.conftest import Made
from tests.faults.deeds import Crowd, Person
from tests.faults.whole import Whole, running
from tests.machine.conftest import wait_until
from tests.servers import turned_clock

pytestmark = [
    pytest.mark.server,
    pytest.mark.once,
    pytest.mark.skipif(sys.platform != "linux", reason="the clock is turned by a library of Linux"),
]
PAGES = ("/", "/bench/", "/dispatch/", "/dates/", "/messages/", "/settings/people/")


def _turn(file: Path, by: str) -> None:
    aside = file.with_suffix(".new")
    aside.write_text(f"{by}\n")
    aside.replace(file)


def _works(whole: Whole, crowd: Crowd, mail: smtp.Received) -> None:
    """Each page opens, each deed is done, and what is written leaves without a wake-up."""
    assert {path: crowd.person.look(path)[0] for path in PAGES} == dict.fromkeys(PAGES, 200)
    crowd.do_each((Person.note, Person.message, Person.pay, Person.photo))
    wanted = set(crowd.told.kept["message"])
    assert wait_until(lambda: wanted <= {each["Subject"] for each in mail.messages}, 60), whole.said


def test_shop_goes_on_whatever_its_clock_says(
    made: Made, mail_server: smtp.Received, tmp_path: Path
) -> None:
    file = tmp_path / "clock"
    _turn(file, "+0")
    whole, crowd = made(**turned_clock(file))
    with running(whole):
        for by in ("+1y", "-1d", "+0"):
            _turn(file, by)
            time.sleep(0.5)
            if crowd.person.look("/")[0] == 302:  # nobody stays signed in for a year
                crowd.person.sign_in()
            _works(whole, crowd, mail_server)
    assert whole.check(crowd) == 12
    ids = [message["Message-ID"] for message in mail_server.messages]
    assert len(ids) == len(set(ids))
