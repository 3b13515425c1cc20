"""The carrier of a parcel's service, and the page where its number is followed."""

from datetime import datetime

import pytest
from django.test import Client
from django.urls import reverse

from builds.bench.queries.tracking import carrier_of
from builds.dispatch.actions import add_tracking
from builds.dispatch.models import Parcel
from builds.dispatch.pasted import Known
from builds.gates.actions import leave
from builds.models import Build
from builds.progress.states import State
from shop.models import User
from tests.makers import make_build, make_parcel, make_service
from tests.visitor import making

pytestmark = pytest.mark.django_db
NUMBER = "FP 4471/0092"
PAGE = "https://fenland-parcels.example/follow/FP%204471%2F0092"


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.DISPATCH)


@pytest.fixture
def parcel(build: Build, owner: User, now: datetime) -> Parcel:
    """A parcel that left, by a service whose numbers may be followed."""
    made = make_parcel([build], owner, now)
    to = "https://fenland-parcels.example/follow/$number"
    Parcel.objects.filter(pk=made.pk).update(service=make_service(follow_url=to))
    leave(made.pk, by=owner, now=now)
    made.refresh_from_db()
    return made


def test_number_is_kept_with_the_carrier_of_the_service(
    parcel: Parcel, owner: User, now: datetime
) -> None:
    add_tracking(parcel.pk, carrier="", tracking=NUMBER, by=owner, now=now)
    parcel.refresh_from_db()
    assert (parcel.carrier, parcel.follow_url) == ("Fenland Parcels", PAGE)
    parcel.carrier = "Another"
    assert parcel.follow_url == ""


def test_order_sheet_customers_page_and_form_name_carrier_and_page(
    parcel: Parcel,
    build: Build,
    owner: User,
    owner_client: Client,
    stranger: Client,
    now: datetime,
) -> None:
    form = owner_client.get(reverse("bench_dispatch"), {"day": parcel.day.isoformat()})
    assert form.content.decode().count('value="Fenland Parcels"') >= 2
    add_tracking(parcel.pk, carrier="", tracking=NUMBER, by=owner, now=now)
    order = reverse("desk_order", args=[build.item.order.number])
    sheet = reverse("bench_sheet", args=[build.number])
    for at in (order, sheet, reverse("dispatch_parcel", args=[parcel.pk])):
        assert f'href="{PAGE}"' in owner_client.get(at).content.decode()
    theirs = f"/your/order/{making.token(making.link(build.item.order, now))}/"
    assert f'href="{PAGE}"' in stranger.get(theirs).content.decode()


def test_bulk_box_names_the_one_carrier_of_them_all() -> None:
    road, air, none = (Known(1, "", frozenset(), carrier=name) for name in ("Road", "Air", ""))
    assert carrier_of([road, road], ["Before"]) == "Road"
    assert carrier_of([road, air], ["Before"]) == ""
    assert carrier_of([none], ["Before"]) == "Before"
