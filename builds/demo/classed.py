"""Services of the demo's carriers, a rule that one of them wrote, and cells on the way."""

from datetime import date, datetime
from typing import Any

from builds.demo.days import token
from builds.dispatch.actions import choose_service, keep_rule, stow
from builds.dispatch.models import Parcel, Service
from builds.dispatch.queries.told import told_of_builds
from builds.dispatch.states import CellUnit, Chemistry, Mode, Stowage, Terminals
from builds.progress.models import Build
from shop.people.models import User

ROAD = "Fenland two days"
AIR = "Fenland by air"
_WORDS = (
    "For this account we take up to four spare lithium ion cells beside the equipment, each at a "
    "charge of no more than 30 %, on our own aircraft, until further notice."
)


def services(by: User, now: datetime) -> None:
    """Two services, and what the carrier wrote about one of them."""
    for place, (name, mode) in enumerate(((ROAD, Mode.ADR_ROAD), (AIR, Mode.AIR))):
        Service.objects.get_or_create(
            name=name,
            defaults={"carrier": "Fenland Parcels", "mode": mode, "position": place},
        )
    written = date(now.year, now.month, 1)
    keep_rule(
        Service.objects.get(name=AIR), code="air-too-many", words=_WORDS,
        source="letter of Fenland Parcels, in the folder of contracts", written_on=written,
        valid_until=None, token=token("carrier rule", AIR), by=by, now=now,
    )  # fmt: skip


def stowed(parcel: Parcel, build: Build, by: User, now: datetime) -> None:
    """Say that a hilt's cell travels in it, by road; what its parts don't say is typed."""
    if build.hilt is None:
        return
    values: dict[str, Any] = {
        "stowage": Stowage.INSTALLED,
        "terminals": Terminals.HOLDER,
        "unit": CellUnit.CELL,
        "test_summary": True,
    }
    if not told_of_builds([build.pk]):
        values |= {"chemistry": Chemistry.ION, "count": 1, "needed": 1, "watt_hours": 9.3}
    stow(parcel.pk, f"build-{build.pk}", values, seen="", by=by, now=now)
    choose_service(parcel.pk, Service.objects.get(name=ROAD), by=by, now=now)
