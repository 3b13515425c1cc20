"""A rule that a carrier of the demo wrote, and cells on the way."""

from datetime import date, datetime
from typing import Any

from builds.demo import parcels
from builds.demo.days import token
from builds.dispatch.actions import keep_rule, stow
from builds.dispatch.models import Parcel, Service
from builds.dispatch.queries.told import told_of_builds
from builds.dispatch.states import CellUnit, Chemistry, Stowage, Terminals
from builds.progress.models import Build
from shop.people.models import User

_WORDS = (
    "For this account we take up to four spare lithium ion cells beside the equipment, each at a "
    "charge of no more than 30 %, on our own aircraft, until further notice."
)


def rules(by: User, now: datetime) -> None:
    """What a carrier wrote about one of its services."""
    written = date(now.year, now.month, 1)
    keep_rule(
        Service.objects.get(name=parcels.AIR["name"]), code="air-too-many", words=_WORDS,
        source="letter of Fenland Parcels, in the folder of contracts", written_on=written,
        valid_until=None, token=token("carrier rule", "spares"), by=by, now=now,
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
