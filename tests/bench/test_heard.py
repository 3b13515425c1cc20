"""What wants the shop now."""

from datetime import datetime, timedelta

import pytest

from builds.bench.queries.board import open_rows
from builds.bench.queries.today import wants
from builds.progress.models import Build
from shop.diary.queries import calendar
from shop.models import House, Message
from shop.post.models import State as Post

DAY = timedelta(days=1)


def silence(house: House, now: datetime) -> list[str]:
    """What Today says of customers who have heard nothing."""
    diary = calendar(house)
    return [want.why for want in wants(open_rows(diary, now), diary, now) if "heard" in want.why]


def write(build: Build, state: str, at: datetime) -> None:
    """A message to or from the customer of a build."""
    Message.objects.create(
        key=f"k:{state}",
        about=build.about,
        occasion="free",
        customer=build.item.order.customer,
        to="ines@example.com",
        subject="A word",
        body="Hello",
        state=state,
        message_id=f"<{state}@larkhill.example>",
        made_at=at,
        not_before=at,
        done_at=at,
    )


@pytest.mark.parametrize("state", [Post.SENT, Post.LOGGED])
def test_customer_has_heard_what_reached_her(
    state: str, build: Build, house: House, now: datetime
) -> None:
    write(build, state, now + 10 * DAY)
    assert silence(house, now + 11 * DAY) == []


@pytest.mark.parametrize("state", [Post.FAILED, Post.WITHDRAWN, Post.RECEIVED])
def test_customer_has_not_heard_what_failed_or_what_she_wrote(
    state: str, build: Build, house: House, now: datetime
) -> None:
    write(build, state, now + 10 * DAY)
    assert silence(house, now + 11 * DAY) == ["Ines has heard nothing for 11 days"]
