"""Boxes in stores: kept, shown and counted as other parts, and in no hilt, kit or quote."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from builds.fitting.actions.parts import plan_part
from builds.fitting.refusals import Refused as FittingRefused
from shop.models import User
from shop.orders.queries import parts_to_quote
from shop.stores.actions.kits import add_kit, put_in_kit
from shop.stores.models import Part
from shop.stores.queries.choosing import choices
from shop.stores.refusals import Refused
from tests.makers import make_build, make_part

pytestmark = pytest.mark.django_db


def test_a_box_is_written_down_on_the_form_of_its_kind(owner_client: Client) -> None:
    typed = {
        "name": "Long box", "counted": "piece", "pack": 1, "token": uuid4(), "source": "",
        "inner_length_mm": "1000", "inner_width_mm": "180", "inner_height_mm": "120",
        "mass_g": "720", "load_g": "5000",
    }  # fmt: skip
    answer = owner_client.post(reverse("stores_add_kind", args=["box"]), typed)
    assert answer.status_code == 303, answer.content.decode()
    box = Part.objects.get(kind="box")
    assert box.spec["inner_length_mm"] == 1000
    shelf = owner_client.get(reverse("stores_stores") + "?kind=box&show=all").content.decode()
    assert "Long box" in shelf


def test_a_box_without_its_sides_is_asked_for_them(owner_client: Client) -> None:
    typed = {"name": "Box", "counted": "piece", "pack": 1, "token": uuid4(), "mass_g": "720"}
    answer = owner_client.post(reverse("stores_add_kind", args=["box"]), typed)
    assert answer.status_code == 422


def test_no_build_holds_a_box(owner: User, now: datetime) -> None:
    box = make_part(owner, now, 2, kind="box")
    with pytest.raises(FittingRefused, match="for packing"):
        plan_part(make_build(owner, now), box, 1, section=None, token=uuid4(), by=owner, now=now)


def test_no_kit_holds_a_box(owner: User, now: datetime) -> None:
    kit = add_kit("one switch", "", token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="for packing"):
        put_in_kit(kit.pk, make_part(owner, now, kind="box"), 1, by=owner, now=now)


def test_no_chooser_for_builds_offers_a_box(owner: User, now: datetime) -> None:
    box = make_part(owner, now, 2, kind="box", name="Box")
    Part.objects.filter(pk=box.pk).update(price_minor=500)
    assert choices("box", "", "mm") == choices("", "Box", "mm") == []
    assert parts_to_quote() == []
