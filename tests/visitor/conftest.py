"""An order of Ines's with one build, and her link."""

from datetime import datetime

import pytest

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import Order, PrivateLink, User
from tests.visitor import making


@pytest.fixture
def order(owner: User, now: datetime) -> Order:
    return making.order(making.customer(now), now)


@pytest.fixture
def build(order: Order, owner: User, now: datetime) -> Build:
    return making.build(order, owner, now, state=State.INSTALL)


@pytest.fixture
def link(order: Order, now: datetime) -> PrivateLink:
    return making.link(order, now)


@pytest.fixture
def url(link: PrivateLink) -> str:
    return f"/your/order/{making.token(link)}/"


@pytest.fixture(autouse=True)
def at_the_moment_of_the_tests(monkeypatch: pytest.MonkeyPatch, now: datetime) -> None:
    monkeypatch.setattr("builds.visitor.views.now", lambda: now)
