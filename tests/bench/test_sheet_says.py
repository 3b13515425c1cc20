"""The build sheet."""

from datetime import datetime

import pytest
from django.test import Client

from builds.intake import actions as intake
from builds.progress.states import State
from shop.models import User
from tests.makers import make_arrival, make_build


def test_condition_of_another_hilt_is_not_on_the_sheet(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build, parcel = make_build(owner, now, State.INTAKE), make_arrival(owner, now)
    intake.match(parcel, build, owner, now)
    intake.note_condition(
        build, section="grip", grade="worn", words="old varnish", by=owner, now=now
    )
    url = f"/build/{build.number}/"
    assert "old varnish" in bench_client.get(url).content.decode()
    intake.unmatch(parcel, build, owner, now)
    assert "old varnish" not in bench_client.get(url).content.decode()


@pytest.mark.parametrize(
    ("stage", "caution"),
    [
        (State.INTAKE, "Cell and electronics out before any heat."),
        (State.TEARDOWN, "Cell and electronics out before any heat."),
        (State.INSTALL, "Solder to tabs, never to the can of a cell."),
        (State.TEST, "No swing before the blade is known to hold"),
        (State.DISPATCH, "A damaged or over-discharged cell goes neither by post nor by air."),
    ],
)
def test_caution_stands_where_the_hand_is(
    stage: str, caution: str, bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, stage)
    assert caution in bench_client.get(f"/build/{build.number}/").content.decode()


def test_what_waits_says_what_it_lacks_to_leave(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.INSTALL)
    page = bench_client.get(f"/build/{build.number}/").content.decode()
    assert "To leave: No part listed yet, and" in page
    assert "nothing missing" not in page
