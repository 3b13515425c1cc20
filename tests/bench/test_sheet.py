"""The build sheet."""

from datetime import datetime

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
