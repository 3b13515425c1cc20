"""A feed of the owner's, and the moment that its view reads."""

from datetime import datetime
from uuid import uuid4

import pytest

from builds.feeds import views
from builds.feeds.actions import make_feed
from builds.feeds.models import Feed
from shop.people.models import User
from tests.feeds.reading import Clock


@pytest.fixture
def feed(owner: User, now: datetime) -> Feed:
    return make_feed("my phone", token=uuid4(), by=owner, now=now)


@pytest.fixture
def clock(now: datetime, monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock(now)
    monkeypatch.setattr(views, "now", clock)
    return clock
