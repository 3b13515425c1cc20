"""What a job leaves: parts at what they cost, hours as planned, without tax; the owner's alone."""

from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client

from builds.desk.queries.margin import margins
from builds.desk.queries.orders import order_sheet
from shop.house.queries import house
from shop.models import House, User
from shop.orders.queries.ledger import standing
from shop.stores.actions.stock import fit, put_back, receive, reserve
from shop.stores.models import Part
from tests.makers import make_agreed, make_build, make_part

pytestmark = pytest.mark.django_db


def test_what_a_job_leaves(
    owner: User, owner_client: Client, bench_client: Client, now: datetime
) -> None:
    House.objects.update(hour_minor=4_000)
    build = make_build(owner, now)
    order, facts = build.item.order, {"by": owner, "now": now}
    hours = {
        "item": build.item, "kind": "hours", "words": "bench", "each_minor": 4_000,
        "low_thousandths": 1_500, "quantity_thousandths": 2_500,
    }  # fmt: skip
    make_agreed(order, owner, now, 45_000, tax=7_500, lines=[hours])
    speaker, cell = make_part(owner, now), make_part(owner, now, kind="cell")
    Part.objects.filter(pk=speaker.pk).update(cost_minor=999)
    for cost, count in ((300, 1), (600, 2)):
        receive(speaker, count, cost_minor=cost, token=uuid4(), **facts)
    receive(cell, 1, token=uuid4(), **facts)
    for part, count in ((speaker, 2), (cell, 1)):
        taken = reserve(part, count, about=build.about, whose="x", token=uuid4(), **facts)
        fit(taken, token=uuid4(), **facts)
    put_back(speaker, 1, about=build.about, whose="x", reason="whole", token=uuid4(), **facts)
    sheet = order_sheet(order.number)
    assert sheet
    (found,) = margins(sheet, standing(order), house())
    assert (found.net, found.minutes, found.hours_minor) == (37_500, 150, 10_000)
    assert (found.parts.minor, found.parts.without_cost) == (500, 1)
    assert found.left == 27_000
    address = f"/orders/{order.number}/money/"
    assert "£270.00" in owner_client.get(address).content.decode()
    assert bench_client.get(address).status_code == 403
