"""A service is held against the country that a parcel goes to."""

from datetime import datetime

import pytest

from builds.dispatch.queries.travel import usual_service
from builds.dispatch.reach import why_not_there
from builds.gates.actions import GateClosed, leave
from shop.house.models import House
from shop.models import Customer, User
from tests.dispatch.test_classing import hilt, packed, say, section
from tests.makers import make_service

STAYS_HERE = (
    "This service goes by road in Europe, and the parcel goes to New Zealand: choose another."
)


@pytest.mark.parametrize(
    ("mode", "home", "to", "gets_there"),
    [
        ("adr-road", "GB", "", True),
        ("adr-road", "GB", "DE", True),
        ("adr-road", "GB", "JE", True),
        ("adr-road", "GB", "NZ", False),
        ("adr-road", "GB", "KZ", False),
        ("adr-road", "KZ", "", True),
        ("adr-road", "US", "DE", False),
        ("us-ground", "US", "", True),
        ("us-ground", "US", "CA", False),
        ("us-ground", "GB", "US", False),
        ("usps-domestic-surface", "US", "US", True),
        ("usps-domestic-air", "US", "NZ", False),
        ("usps-domestic-air", "GB", "", False),
        ("usps-abroad", "US", "NZ", True),
        ("usps-abroad", "US", "", False),
        ("usps-abroad", "GB", "NZ", False),
        ("air", "GB", "NZ", True),
    ],
)
def test_ways_of_travelling_get_only_so_far(
    mode: str, home: str, to: str, gets_there: bool
) -> None:
    assert (why_not_there(mode, home, to) == "") is gets_there


@pytest.mark.django_db
def test_road_service_does_not_leave_for_overseas_and_another_is_offered(
    owner: User, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    Customer.objects.update(country="NZ")
    air = make_service("air", name="By plane")
    shown = section(parcel)
    assert (shown.classing.state, shown.classing.why_not) == ("refused", [STAYS_HERE])
    assert [way.service for way in shown.ways_out] == [air]
    with pytest.raises(GateClosed, match="New Zealand: choose another"):
        leave(parcel.pk, by=owner, now=now)


@pytest.mark.django_db
def test_default_service_is_one_that_gets_there(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    packed([build], owner, now)
    to = build.item.order.consignee
    assert usual_service(to)
    Customer.objects.update(country="NZ")
    build.item.order.refresh_from_db()
    assert usual_service(build.item.order.consignee) is None
    air = make_service("air")
    assert usual_service(build.item.order.consignee) == air


@pytest.mark.django_db
def test_country_that_nobody_named_is_the_shops_own(owner: User, now: datetime) -> None:
    House.objects.update_or_create(id=1, defaults={"country": "US"})
    build = hilt(owner, now)
    parcel = packed([build], owner, now, "us-ground")
    say(parcel, build, owner, now)
    assert section(parcel).classing.not_there == ""
