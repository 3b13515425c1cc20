"""A past of any size: consistent, as large as it was asked for, the same for the same seed."""

from datetime import datetime

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connection
from django.db.models import Count, Sum
from django.test import Client
from django.urls import reverse

from builds.demo.past.fill import fill_past
from builds.models import Build, Photo
from builds.progress.states import ENDINGS, STAGES
from shop.house.models import Counter
from shop.models import Message, User
from shop.stores.models import StockLevel
from tests.demo.conftest import ADDRESS, draw
from tests.makers import make_customer

pytestmark = pytest.mark.django_db

SIZE = 60


@pytest.fixture
def filled(db: None, now: datetime) -> None:
    said: list[str] = []
    assert fill_past(now, ADDRESS, SIZE, 7, said.append, draw).builds == SIZE


@pytest.mark.fault
def test_past_holds_together(filled: None, client: Client) -> None:
    connection.check_constraints()
    ended = Build.objects.filter(state__in=ENDINGS)
    assert ended.count() > Build.objects.filter(state__in=STAGES).count()
    assert set(ended.values_list("state", flat=True)) >= {"sent", "collected"}
    for level in StockLevel.objects.annotate(
        came=Sum("part__ledger__on_hand_change"), held=Sum("part__ledger__reserved_change")
    ):
        assert (level.came or 0, level.held or 0) == (level.on_hand, level.reserved)
    numbers = Build.objects.order_by("number").values_list("number", flat=True)
    assert list(numbers) == list(range(1, SIZE + 1))
    assert Counter.objects.get(series="builds").last == SIZE
    past = Build.objects.filter(pk__gt=SIZE - 20)
    assert not past.annotate(n=Count("photos")).filter(n__lt=8).exists()
    assert all(Message.objects.filter(about=build.about).count() >= 5 for build in past)
    assert Photo.objects.values("blob").distinct().count() < Photo.objects.count()
    client.force_login(User.objects.get(role="owner"))
    for build in past:
        assert client.get(reverse("bench_sheet", args=[build.number])).status_code == 200


def test_shop_that_holds_something_is_not_filled(now: datetime) -> None:
    make_customer(now)
    with pytest.raises(CommandError, match="holds something"):
        call_command("fill", builds=SIZE)


def test_past_of_a_handful_is_refused(db: None) -> None:
    with pytest.raises(CommandError, match="begins at 60"):
        call_command("fill", builds=3)
