"""Settings: the hours that dates reckon with."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.models import Build
from builds.progress.actions import add_work
from builds.progress.states import Kind, Spent, State
from shop.models import User
from tests.bench.pages import words
from tests.makers import make_build

pytestmark = pytest.mark.django_db
PAGE = "/settings/hours/timed/"


def _finished(by: User, now: datetime, minutes: int, spent_on: str = Spent.WORK) -> None:
    build = make_build(by, now, State.INSTALL)
    add_work(
        build.pk, minutes=minutes, stage=State.INSTALL, spent_on=spent_on, token=uuid4(), by=by,
        now=now,
    )  # fmt: skip
    Build.objects.filter(pk=build.pk).update(state=State.SENT, tray=None, kind=Kind.FULL)


def test_a_young_shop_is_told_that_it_is_a_guess(owner_client: Client) -> None:
    shown = words(owner_client.get(PAGE))
    assert "0 finished builds were timed: below ten, this is mostly a guess." in shown
    assert "install 9.5 none, a guess" in shown


def test_ten_builds_of_its_own_outweigh_the_guess(
    owner_client: Client, owner: User, now: datetime
) -> None:
    for _build in range(10):
        _finished(owner, now, 300)
    shown = words(owner_client.get(PAGE))
    assert "install 5.4 10" in shown
    assert "From 10 finished builds." in shown


def test_rework_stands_apart(owner_client: Client, owner: User, now: datetime) -> None:
    _finished(owner, now, 90, Spent.REWORK)
    shown = words(owner_client.get(PAGE))
    assert "rework, where it comes + 1.5 in 1 of 1" in shown
    assert "install 9.5 none, a guess" in shown
