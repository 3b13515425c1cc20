"""The blades of the demo: made, counted, tried in their hilts, tied to their builds."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from builds.demo.days import token
from builds.fitting.queries.listed import listed
from builds.hilts.actions import blades
from builds.hilts.models import Blade, Hilt
from builds.progress.actions import tie_blade
from builds.progress.models import Build
from shop.people.models import User
from shop.stores.kinds import PartKind
from shop.stores.models import Part

CONNECTOR = "three pins, sprung"
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True)
class _Hand:
    """Who has a blade in hand, and when."""

    by: User
    now: datetime

    def count(self, blade: Blade) -> None:
        """Its pixels, as they were counted: as many as its part says."""
        blade.refresh_from_db()
        if blade.pixels:
            seen = blades.seen_blade(blade)
            blades.count_pixels(blade.pk, blade.pixels, seen=seen, by=self.by, now=self.now)

    def seat(self, blade: Blade, hilt: Hilt) -> None:
        """It was tried in a hilt."""
        blade.refresh_from_db()
        seen = blades.seen_blade(blade)
        blades.try_blade(blade.pk, hilt, seen=seen, by=self.by, now=self.now + 2 * _MINUTE)


def alone(build: Build, by: User, now: datetime) -> None:
    """A job for a blade alone: it is made, counted, and tried in the hilt that it is for."""
    blade, hand = build.blade, _Hand(by, now)
    if blade is None or blade.counted_at:
        return
    own = {"name": "Round tip, 86 cm", "diameter_mm": 25.4, "length_mm": 860.0}
    facts = {**own, "part_id": None, "connector": CONNECTOR, "note": "clear wall, round tip"}
    seen = blades.seen_blade(blade)
    blades.change_blade(blade.pk, facts, seen=seen, by=by, now=now)
    blade.refresh_from_db()
    seen = blades.seen_blade(blade)
    blades.count_pixels(blade.pk, 246, seen=seen, by=by, now=now + _MINUTE)
    hilt = Hilt.objects.filter(customer=blade.customer_id).first()
    if hilt:
        hand.seat(blade, hilt)


def along(build: Build, by: User, now: datetime) -> None:
    """The blade on a build's list goes home with its hilt: a blade of its own."""
    part = _part_of(build)
    if part is None or build.hilt is None or build.blade_id:
        return
    values = {"name": f"For {build.hilt.name}", "part_id": part.pk, "connector": CONNECTOR}
    customer, hand = build.item.order.customer, _Hand(by, now)
    mark = token("blade", build.number)
    blade = blades.add_blade(customer, values, token=mark, by=by, now=now)
    hand.count(blade)
    hand.seat(blade, build.hilt)
    tie_blade(build.pk, blade, seen=None, by=by, now=now + 3 * _MINUTE)


def _part_of(build: Build) -> Part | None:
    parts = listed([build.pk]).get(build.pk, [])
    return next((each.part for each in parts if each.kind == PartKind.BLADE), None)
