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
