"""The demo's finished work: the forecast has learned from it, and its promises had their ends."""

import pytest

from builds.demo import earlier, fill
from builds.models import Build
from builds.progress.states import State
from builds.queue.actions.settling import settle
from builds.queue.queries import line
from builds.queue.queries.kept import by_month, calibration, in_all
from tests.conftest import NOW
from tests.demo.conftest import ADDRESS

pytestmark = pytest.mark.django_db


def test_forecast_has_learned_from_it_and_promises_were_kept_and_missed() -> None:
    crew, days = fill._open(NOW, ADDRESS, ("one phrase", "another phrase"))
    earlier.work(crew, days)
    settle(NOW)
    assert set(Build.objects.values_list("state", flat=True)) == {State.COLLECTED}
    assert line(NOW).finished["full"] == len(earlier.PAST)
    counted = in_all(by_month(days.today))
    assert counted.builds == len(earlier.PAST)
    assert counted.held_first < counted.held_last < counted.builds
    assert counted.changes == 2
    assert any(not each.is_few for each in calibration(days.today))
