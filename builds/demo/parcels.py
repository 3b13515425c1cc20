"""Parcels of the demo shop: what it sends by, boxes and weights, a spare cell to go along."""

from datetime import datetime

from builds.demo.days import Days, token
from builds.demo.house import Crew
from builds.dispatch.actions.boxes import choose_box, choose_service, declare, note_size
from builds.dispatch.actions.services import add_service
from builds.dispatch.models import Parcel, Service
from builds.dispatch.states import Insured, Mode
from builds.progress.models import Build
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from shop.people.models import User
from shop.stores.models import Part

ROAD = {
    "name": "Road, two days", "carrier": "Fenland Parcels", "mode": Mode.ADR_ROAD,
    "divisor": 5000.0, "weight_step": 0.5, "most_g": 30_000, "covered_minor": 25_000,
    "transit_days": 2, "follow_url": "https://fenland-parcels.example/follow/$number",
}  # fmt: skip
AIR = {
    "name": "Air, signed for", "carrier": "Fenland Parcels", "mode": Mode.AIR, "divisor": 5000.0,
    "rounds_sides_up": True, "weight_step": 0.5, "most_g": 20_000, "covered_minor": 50_000,
    "transit_days": 6, "follow_url": "https://fenland-parcels.example/follow/$number",
}  # fmt: skip
LONG = "Long box, 1000 × 180 × 120"


def services(crew: Crew, days: Days) -> None:
    """What the shop sends by."""
    for fields in (ROAD, AIR):
        mark = token("service", fields["name"])
        add_service(fields, token=mark, by=crew.oda, now=days.back(57, 16))


def close(parcel: Parcel, by: User, now: datetime) -> None:
    """What is noted of a parcel before it leaves: its box, weight, service, who bears a loss."""
    box = Part.objects.get(name=LONG)
    choose_box(parcel.pk, box, seen=0, by=by, now=now)
    note_size(parcel.pk, (None, None, None), 2140, by=by, now=now)
    by_road(parcel, by, now)
    declare(parcel.pk, None, Insured.CARRIER, by=by, now=now)


def by_road(parcel: Parcel, by: User, now: datetime) -> None:
    """It goes by road."""
    choose_service(parcel.pk, Service.objects.get(name=ROAD["name"]), by=by, now=now)


def goods(build: Build, crew: Crew, days: Days) -> None:
    """A spare cell on an order whose hilt waits in its parcel."""
    cell = Part.objects.get(name="Cell 18 × 65, protected")
    words, then = "A spare cell, in its case", days.back(3, 10, 20)
    add_item(build.item.order, ItemKind.GOODS, words, crew.oda, then, 1, cell)
