"""News that has become untrue does not leave."""

from datetime import datetime, timedelta

from builds.gates.actions import leave
from builds.models import Build
from shop.models import Message, User
from shop.post.actions import queue_message
from shop.post.models import Occasion, State
from tests.bench import stands
from tests.makers import make_parcel


def _queued(build: Build, occasion: Occasion, now: datetime) -> Message:
    return queue_message(
        key=f"{occasion}:{build.pk}",
        occasion=occasion,
        about=build.about,
        to="wren@example.com",
        subject="News",
        body="It leaves on Friday.",
        now=now,
        not_before=now + timedelta(minutes=1),
    )


def test_ships_on_is_withdrawn_when_it_has_left_before(owner: User, now: datetime) -> None:
    build = stands.to_pack(owner, now)
    parcel = make_parcel([build], owner, now)
    told = _queued(build, Occasion.SHIPS_ON, now)
    other = _queued(build, Occasion.FREE, now)
    leave(parcel.pk, by=owner, now=now)
    told.refresh_from_db()
    other.refresh_from_db()
    assert (told.state, other.state) == (State.WITHDRAWN, State.QUEUED)
