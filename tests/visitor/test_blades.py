"""What the owner of a blade reads of it: on the order's page, on the hilt's own page."""

from datetime import datetime
from uuid import uuid4

import pytest

from builds.hilts.actions import blades as actions
from builds.hilts.models import Blade
from builds.models import Build
from builds.progress.actions import tie_blade
from builds.progress.states import State
from builds.visitor.queries import hilt_page, order_page
from shop.models import House, User
from tests.makers import make_build


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


@pytest.fixture
def blade(build: Build, owner: User, now: datetime) -> Blade:
    values = {"name": "Long blue", "diameter_mm": 25.4, "length_mm": 914.0, "connector": "3 pins"}
    customer = build.item.order.customer
    made = actions.add_blade(customer, values, token=uuid4(), by=owner, now=now)
    tie_blade(build.pk, made, seen=None, by=owner, now=now)
    return made


def told(build: Build, house: House, now: datetime) -> str:
    (work,) = order_page(build.item.order, house, now).works
    return work.blade.replace("\u202f", " ")


def test_pixels_are_told_once_somebody_counted_them(
    build: Build, blade: Blade, house: House, owner: User, now: datetime
) -> None:
    assert told(build, house, now) == "25.4 mm × 914 mm · 3 pins"
    seen = actions.seen_blade(blade)
    actions.count_pixels(blade.pk, 264, seen=seen, by=owner, now=now)
    assert told(build, house, now) == "25.4 mm × 914 mm · 264 pixels · 3 pins"


def test_hilts_own_page_names_the_blades_tried_in_it(
    build: Build, blade: Blade, house: House, owner: User, now: datetime
) -> None:
    assert build.hilt
    assert hilt_page(build.hilt, house, now).blades == []
    seen = actions.seen_blade(blade)
    actions.try_blade(blade.pk, build.hilt, seen=seen, by=owner, now=now)
    ((name, _known),) = hilt_page(build.hilt, house, now).blades
    assert name == "Long blue"
