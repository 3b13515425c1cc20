"""Two tablets that look at the same bench tap with tokens of their own."""

from datetime import datetime

import pytest

from builds.bench.queries.board import open_rows
from shop.diary.queries import calendar
from shop.models import House, User
from tests.makers import make_build


@pytest.mark.django_db(transaction=True)
def test_nothing_changed_between_two_looks(house: House, owner: User, now: datetime) -> None:
    make_build(owner, now)
    (one,), (other,) = (open_rows(calendar(house), now) for _look in range(2))
    assert one.build is other.build  # the second look was handed what the first one read
    assert one.timer_token != other.timer_token
    assert one.button.token is None or one.button.token != other.button.token
