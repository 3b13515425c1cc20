"""What is to be fetched is finished once it stands ready, whenever its customer comes."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest

from builds.bench.queries.rows import rows
from builds.gates.actions import end
from builds.models import Build, Outcome
from builds.progress.queries import builds
from builds.progress.states import Leaves, State
from builds.queue.actions import Refused, promise, promise_with, remind
from builds.queue.actions.settling import settle
from builds.queue.queries import dues
from builds.queue.wording import stand_of
from builds.visitor.queries import order_page
from shop.diary.queries import calendar
from shop.house.models import House
from shop.models import Message, User
from tests.makers import FRIDAY, make_build, put_on_hold
from tests.queue.past import stands_ready

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)
SATURDAY, TUESDAY = date(2026, 11, 28), date(2026, 12, 1)


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    """In dispatch, to be fetched, promised for Friday."""
    made = make_build(owner, now, State.DISPATCH, leaves_by=Leaves.COLLECTION)
    promise_with(made, FRIDAY, None, reason="", by=owner, now=now)
    return made


def late(build: Build, house: House, now: datetime) -> set[bool]:
    """Whether the bench, the shop's words and the customer's page call it late."""
    diary = calendar(house)
    found = builds().filter(pk=build.pk)
    page = order_page(found[0].item.order, house, now)
    row = rows(found, diary, now)[0]
    return {
        row.is_late,
        row.is_in_danger,
        stand_of(build, diary, now).is_late,
        page.works[0].is_late,
    }


def test_what_stands_ready_is_never_late(
    build: Build, owner: User, house: House, now: datetime
) -> None:
    later = now + 7 * DAY
    assert late(build, house, later) == {True}
    stands_ready(build, owner, now)
    assert late(build, house, later) == {False}


def test_shop_is_not_reminded_of_it(build: Build, owner: User, house: House, now: datetime) -> None:
    House.objects.update(email="shop@larkhill.example")
    stands_ready(build, owner, now)
    remind(now + 7 * DAY)
    assert not Message.objects.filter(occasion="ship_by").exists()


def test_hold_keeps_it_from_standing_ready(
    build: Build, owner: User, house: House, now: datetime
) -> None:
    stands_ready(build, owner, now)
    put_on_hold(build, owner, now, turn="supplier")
    assert True in late(build, house, now + 7 * DAY)


def test_day_of_fetching_does_not_count(build: Build, owner: User, now: datetime) -> None:
    stands_ready(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state_since=now)
    fetched = now + 20 * DAY
    end(build.pk, State.COLLECTED, token=uuid4(), expected=State.DISPATCH, reason="", by=owner,
        now=fetched)  # fmt: skip
    settle(fetched + timedelta(minutes=2))
    outcome = Outcome.objects.get()
    assert (outcome.left_on, outcome.due) == (now.date(), FRIDAY)


def test_it_may_be_promised_for_a_day_on_which_nothing_leaves(
    build: Build, owner: User, house: House, now: datetime
) -> None:
    assert not calendar(house).is_dispatch_day(TUESDAY)
    promise(build, TUESDAY, reason="", by=owner, now=now)
    assert dues([build.pk], calendar(house), now)[build.pk].day == TUESDAY
    with pytest.raises(Refused, match="The next working day is Monday 30 November"):
        promise(build, SATURDAY, reason="", by=owner, now=now)


def test_its_customer_reads_that_it_is_ready(
    build: Build, owner: User, house: House, now: datetime
) -> None:
    stands_ready(build, owner, now)
    work = order_page(builds().get(pk=build.pk).item.order, house, now + 7 * DAY).works[0]
    assert work.is_ready
    assert work.headline == "Your hilt is finished and waits for you"
