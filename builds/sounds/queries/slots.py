"""Reads slots: what a build's card holds, how bright its blade may be, what a look needs."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from django.db.models import Count, Q, QuerySet

from builds.progress.models import Build
from builds.sounds.models import Brightness, Look, Slot
from shop.web.reading import each_once

MOST = 99  # places on a card
FULL = 100  # per cent: the cap of a board that nobody has set


@dataclass(frozen=True)
class Share:
    """The share of a colour's full light that a look burns: at its worst moment, and on average."""

    worst: float
    typical: float


# Every look may burn all pixels for a moment. The averages are guesses: common practice, no source.
LIGHT: Mapping[str, Share] = MappingProxyType({
    Look.STEADY: Share(1.0, 1.0),
    Look.PULSING: Share(1.0, 0.65),
    Look.FLICKERING: Share(1.0, 0.75),
    Look.RUNNING: Share(1.0, 0.5),
})  # fmt: skip


def slots_of(build_ids: Iterable[int]) -> dict[int, list[Slot]]:
    """Build id → its slots in the order of the card, in one query for all."""
    return each_once(slots_of, _slots_of, build_ids)


def _slots_of(build_ids: list[int]) -> dict[int, list[Slot]]:
    found: dict[int, list[Slot]] = {pk: [] for pk in build_ids}
    standing = Slot.objects.filter(build__in=build_ids, ended_at=None)
    for slot in standing.select_related("sound_set", "verified_by").order_by("place"):
        found[slot.build_id].append(slot)
    return found


def caps_of(build_ids: Iterable[int]) -> dict[int, int]:
    """Build id → its brightness cap in per cent, for those where somebody set one."""
    return each_once(caps_of, _caps_of, build_ids)


def _caps_of(build_ids: list[int]) -> dict[int, int]:
    rows = Brightness.objects.filter(build__in=build_ids)
    return dict(rows.values_list("build", "percent"))


def free_place(taken: Iterable[int]) -> int:
    """The first free place of a card; beyond the last where none is."""
    held = set(taken)
    return next(place for place in range(1, MOST + 2) if place not in held)


def like_builds(build: Build) -> QuerySet[Build]:
    """Other builds of the same customer that have slots, the newest first, with how many."""
    standing = Count("slots", filter=Q(slots__ended_at=None))
    same = Build.objects.filter(item__order__customer=build.item.order.customer_id)
    others = same.exclude(pk=build.pk).select_related("hilt")
    return others.annotate(slot_count=standing).filter(slot_count__gt=0).order_by("-number")
