"""A build of Ines's, open on the bench; and the moment at which the tests stand."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest
from pytest_django import Settings

from builds.progress.models import Build
from builds.progress.states import State
from shop.models import User
from tests.visitor import making

PAGES = (
    "board", "collect", "condition", "day_paper", "dispatch", "intake", "paper", "photos", "scan",
    "sheet", "tell", "telling", "today", "tracking", "working",
)  # fmt: skip


@dataclass
class Clock:
    """The moment that every page reads."""

    at: datetime


@pytest.fixture(autouse=True)
def clock(monkeypatch: pytest.MonkeyPatch, now: datetime) -> Clock:
    """A clock that stands until a test sets it."""
    stands = Clock(now)
    for name in PAGES:
        monkeypatch.setattr(f"builds.bench.views.{name}.now", lambda: stands.at)
    return stands


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    order = making.order(making.customer(now), now)
    return making.build(order, owner, now, state=State.INSTALL)


@pytest.fixture
def url(build: Build) -> str:
    """Where the customer of the build is told."""
    return f"/build/{build.number}/tell/"


@pytest.fixture
def media(settings: Settings, tmp_path: Path) -> Path:
    """The folder that the shop's files lie in, this test's own."""
    options = {**settings.STORAGES["default"], "OPTIONS": {"location": tmp_path / "media"}}
    settings.STORAGES = {**settings.STORAGES, "default": options}
    return tmp_path / "media"
