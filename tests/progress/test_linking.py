"""How long an order's private link opens."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest

from builds.progress import actions as progress
from builds.progress.linking import is_over, order_link
from builds.progress.models import Build
from builds.progress.states import Kind, Leaves, State
from shop.models import PrivateLink, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from tests.makers import make_build

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
YEAR = 365 * DAY


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    build = make_build(owner, now, State.DISPATCH)
    order_link(build.item.order, now)
    return build


def send(build: Build, by: User, now: datetime) -> None:
    """Let the build leave."""
    token, to = uuid4(), State.SENT
    progress.move(build.pk, token=token, expected=build.state, to=to, by=by, now=now)


def opens(build: Build, day: date) -> bool:
    """Whether the link of a build's order opens on a day."""
    link = PrivateLink.objects.get()
    return not is_over(build.item.order, link, day)


def test_link_does_not_run_out_while_the_work_goes_on(build: Build, now: datetime) -> None:
    assert opens(build, (now + 3 * YEAR).date())


def test_link_opens_for_a_year_after_the_last_build_ended(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    assert opens(build, (now + YEAR).date())
    assert not opens(build, (now + YEAR + DAY).date())


def test_another_build_on_the_order_opens_the_link_again(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    item = add_item(build.item.order, ItemKind.JOB, "a new blade", owner, now)
    progress.book(item, hilt=None, kind=Kind.BLADE, leaves_by=Leaves.POST, by=owner, now=now)
    assert opens(build, (now + 2 * YEAR).date())


def test_telling_somebody_meanwhile_does_not_move_the_year(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    order_link(build.item.order, now + 100 * DAY)
    assert not opens(build, (now + YEAR + DAY).date())


def test_link_that_has_run_out_opens_for_another_year_when_there_is_news(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    later = now + 500 * DAY
    assert not opens(build, later.date())
    order_link(build.item.order, later)
    assert opens(build, (later + YEAR).date())
    assert not opens(build, (later + YEAR + DAY).date())


def test_link_opened_once_more_follows_the_work_again(
    build: Build, owner: User, now: datetime
) -> None:
    send(build, owner, now)
    later = now + 500 * DAY
    order_link(build.item.order, later)
    item = add_item(build.item.order, ItemKind.JOB, "a new blade", owner, later)
    progress.book(item, hilt=None, kind=Kind.BLADE, leaves_by=Leaves.POST, by=owner, now=later)
    order_link(build.item.order, later)
    assert opens(build, (later + 2 * YEAR).date())
