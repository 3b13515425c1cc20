"""Kits: made, filled, timed, retired; their pages, for the owner and the bench."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from shop.history.queries import entries_about
from shop.models import House, Part, User
from shop.stores.actions import Refused
from shop.stores.actions.kits import (
    add_kit,
    change_kit,
    kit_back,
    put_in_kit,
    retire_kit,
    set_minutes,
)
from shop.stores.models import Kit
from tests.fitting.making import post, said
from tests.makers import make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def speaker(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 1, name="speaker, 28 mm")


@pytest.fixture
def kit(owner: User, now: datetime) -> Kit:
    return add_kit("one switch", "the usual", token=uuid4(), by=owner, now=now)


def test_same_token_makes_one_kit_and_a_name_is_there_once(owner: User, now: datetime) -> None:
    token = uuid4()
    made = [add_kit("one switch", "", token=token, by=owner, now=now) for _tap in range(2)]
    assert made[0] == made[1]
    with pytest.raises(Refused, match="of this name already"):
        add_kit(" one switch ", "", token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="name"):
        add_kit("  ", "", token=uuid4(), by=owner, now=now)


def test_every_change_of_a_kit_is_told_once(
    kit: Kit, speaker: Part, owner: User, now: datetime
) -> None:
    for _tap in range(2):
        put_in_kit(kit.pk, speaker, 2, by=owner, now=now)
        set_minutes(kit.pk, {"install": 90, "test": 0}, by=owner, now=now)
        change_kit(kit.pk, "two speakers", "", by=owner, now=now)
    for _tap in range(2):
        put_in_kit(kit.pk, speaker, 0, by=owner, now=now)
        retire_kit(kit.pk, by=owner, now=now)
    kit_back(kit.pk, by=owner, now=now)
    assert [line.text for line in reversed(entries_about(kit.about))] == [
        "Kit made: one switch",
        "In the kit: 2 × speaker, 28 mm",
        "Kit takes 90 minutes",
        "Kit's name or note changed: two speakers",
        "In the kit: 0 × speaker, 28 mm",
        "Kit offered no more: two speakers",
        "Kit offered again: two speakers",
    ]


@pytest.mark.parametrize("quantity", [-1, 100_001])
def test_odd_amounts_are_refused(
    quantity: int, kit: Kit, speaker: Part, owner: User, now: datetime
) -> None:
    with pytest.raises(Refused):
        put_in_kit(kit.pk, speaker, quantity, by=owner, now=now)


def test_kit_is_made_filled_and_timed_on_its_pages(bench_client: Client, speaker: Part) -> None:
    assert "No kit yet" in said(bench_client.get("/stores/kits/"))
    answer = post(bench_client, "/stores/kits/", name="one switch", note="the usual")
    assert "The kit is made" in said(answer)
    here = f"/stores/kits/{Kit.objects.get().pk}/"
    assert "speaker, 28 mm" in said(bench_client.get(here, {"begins": "speak"}))
    post(bench_client, f"{here}put/", part=speaker.pk, quantity=2)
    post(bench_client, f"{here}minutes/", teardown=60, install=270)
    page = said(bench_client.get(here))
    assert "× 2" in page
    assert "5.5 h" in page
    post(bench_client, f"{here}out/{speaker.pk}/")
    post(bench_client, f"{here}words/", name="no switch", note="")
    post(bench_client, f"{here}retire/")
    assert "no switch offered no more" in said(bench_client.get("/stores/kits/"))


def test_what_is_refused_keeps_what_was_typed(
    bench_client: Client, kit: Kit, speaker: Part
) -> None:
    answer = post(bench_client, "/stores/kits/", name=kit.name, note="another")
    assert answer.status_code == 422
    assert "of this name already" in said(answer)
    assert "another</textarea>" in answer.content.decode()
    here = f"/stores/kits/{kit.pk}/"
    assert post(bench_client, f"{here}put/", part=speaker.pk, quantity="some").status_code == 422
    assert post(bench_client, f"{here}minutes/", install="-5").status_code == 422


def test_the_bench_sees_no_cost(
    owner_client: Client, bench_client: Client, kit: Kit, speaker: Part, owner: User, now: datetime
) -> None:
    House.objects.update(currency="GBP")
    Part.objects.filter(pk=speaker.pk).update(cost_minor=430)
    put_in_kit(kit.pk, speaker, 2, by=owner, now=now)
    here = f"/stores/kits/{kit.pk}/"
    assert "£8.60" in said(owner_client.get(here))
    assert "£" not in said(bench_client.get(here))
