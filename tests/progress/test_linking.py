"""How long an order's private link opens."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest

from builds.progress import actions as progress
from builds.progress.linking import order_link
from builds.progress.models import Build
from builds.progress.states import Kind, Leaves, State
from shop.models import PrivateLink, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from tests.makers import make_build

pytestmark = pytest.mark.django_db
YEAR = timedelta(days=365)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    build = make_build(owner, now, State.DISPATCH)
    order_link(build.item.order, now)
    return build


def send(build: Build, by: User, now: datetime) -> int:
    """Let the build leave; the move that did it."""
    token, to = uuid4(), State.SENT
    return progress.move(build.pk, token=token, expected=build.state, to=to, by=by, now=now).pk


def last_day() -> date | None:
    """The last day of the only link."""
    return PrivateLink.objects.get().expires_on


def test_link_does_not_run_out_while_the_work_goes_on(build: Build) -> None:
    assert last_day() is None


def test_link_runs_out_a_year_after_the_last_build_ended(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    assert last_day() == (now + YEAR).date()


def test_ending_that_is_taken_back_keeps_the_link_open(
    build: Build, owner: User, now: datetime
) -> None:
    progress.undo(send(build, owner, now), token=uuid4(), by=owner, now=now)
    assert last_day() is None


def test_another_build_on_the_order_opens_the_link_again(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    item = add_item(build.item.order, ItemKind.JOB, "a new blade", owner, now)
    progress.book(item, hilt=None, kind=Kind.BLADE, leaves_by=Leaves.POST, by=owner, now=now)
    assert last_day() is None


def test_telling_somebody_later_does_not_move_the_year(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    order_link(build.item.order, now + timedelta(days=100))
    assert last_day() == (now + YEAR).date()


def test_link_that_has_run_out_is_renewed_when_there_is_news(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    later = now + timedelta(days=500)
    order_link(build.item.order, later)
    assert last_day() == (later + YEAR).date()
