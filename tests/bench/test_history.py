"""The history of a build on its sheet."""

from datetime import datetime, timedelta

from django.test import Client

from shop.history.actions import record
from shop.models import User
from tests.makers import make_build


def test_whole_life_of_a_build_stands_on_its_sheet(
    bench_client: Client, owner: User, now: datetime
) -> None:
    build = make_build(owner, now)
    for minute in range(120):
        at = now + timedelta(minutes=minute)
        record("put", build.about, owner, at, tray=str(minute), place=0)
    page = bench_client.get(f"/build/{build.number}/").content.decode()
    assert "116 older entries" in page
    assert "Booked: full install" in page
