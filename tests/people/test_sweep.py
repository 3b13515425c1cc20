"""What runs out is let go of."""

from datetime import datetime, timedelta

import pytest

from shop.models import Session, Throttle
from shop.people import actions, tasks
from shop.web.throttle import allow

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def session(key: str, ends: datetime) -> None:
    """A session that ends at a moment."""
    Session.objects.create(session_key=key, mark=key, session_data="", expire_date=ends)


def test_session_goes_once_it_has_run_out(now: datetime) -> None:
    session("over", now - DAY)
    session("open", now + DAY)
    actions.forget_what_ran_out(now)
    assert [left.session_key for left in Session.objects.all()] == ["open"]


def test_count_goes_once_no_span_reaches_back_to_it(now: datetime) -> None:
    allow("sign-in", "old", 10, DAY, now - 2 * DAY)
    allow("sign-in", "new", 10, DAY, now)
    actions.forget_what_ran_out(now)
    assert Throttle.objects.get().since == now


def test_sweep_run_twice_does_no_harm() -> None:
    tasks.sweep()
    tasks.sweep()
