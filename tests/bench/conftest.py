"""A build of Ines's, open on the bench."""

from datetime import datetime

import pytest

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import User
from tests.visitor import making


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    order = making.order(making.customer(now), now)
    return making.build(order, owner, now, state=State.INSTALL)


@pytest.fixture
def at_the_moment_of_the_tests(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    monkeypatch.setattr("builds.bench.views.tell.now", lambda: now)


@pytest.fixture
def url(build: Build, at_the_moment_of_the_tests: None) -> str:
    """Where the customer of the build is told."""
    return f"/build/{build.number}/tell/"
