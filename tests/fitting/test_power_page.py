"""The power page: its answer, its limits, what is missing, what needs a decision."""

from datetime import datetime

import pytest
from django.test import Client

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import User
from tests.bench.pages import words
from tests.fitting.powering import powered
from tests.makers import make_build


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return powered(make_build(owner, now, State.TEARDOWN), owner, now)


def test_answer_stands_at_the_top(bench_client: Client, build: Build) -> None:
    page = words(bench_client.get(f"/build/{build.number}/power/"))
    assert "The cell carries every slot." in page
