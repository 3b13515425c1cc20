"""The parts of builds, in the order in which they sit from the blade's end."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import QuerySet

from builds.fitting.models import BuildPart
from builds.fitting.states import WITH_SERIAL, PartState
from shop.stores.kinds import PartKind
from shop.web.reading import each_once


def parts_of(build_ids: Iterable[int]) -> QuerySet[BuildPart]:
    """Parts on the lists of builds, with all that a row of them shows."""
    there = BuildPart.objects.filter(build__in=list(build_ids), ended_at=None)
    return there.select_related(
        "part", "belonging", "reservation", "section", "lies_on__part", "lies_on__belonging",
        "fitted_by",
    ).order_by("position", "id")  # fmt: skip


def listed(build_ids: Iterable[int]) -> dict[int, list[BuildPart]]:
    """Build id → the parts on its list, for those that list any."""
    return each_once(listed, _listed, build_ids)


def _listed(build_ids: list[int]) -> dict[int, list[BuildPart]]:
    found: dict[int, list[BuildPart]] = defaultdict(list)
    for part in parts_of(build_ids):
        found[part.build_id].append(part)
    return found


def fitted_since(build_id: int, moment: datetime) -> bool:
    """Whether a part that went into a build at some moment or later is in it still."""
    return BuildPart.objects.filter(build=build_id, ended_at=None, fitted_at__gte=moment).exists()


@dataclass
class Fitted:
    """How far the parts of one build have come."""

    listed: int = 0
    to_fit: list[str] = field(default_factory=list)
    without_serial: list[str] = field(default_factory=list)
    has_blade: bool = False
    has_switch: bool = False  # or a board, which is worked by some


def how_far(build_ids: Iterable[int]) -> dict[int, Fitted]:
    """Build id → how far its parts have come, in one query for all."""
    found: dict[int, Fitted] = defaultdict(Fitted)
    for part in (part for parts in listed(build_ids).values() for part in parts):
        known = found[part.build_id]
        known.listed += 1
        known.has_blade |= part.kind == PartKind.BLADE
        known.has_switch |= part.kind in {PartKind.BOARD, PartKind.SWITCH}
        if part.state != PartState.FITTED:
            known.to_fit.append(part.name)
        elif part.kind in WITH_SERIAL and not part.serial:
            known.without_serial.append(part.name)
    return found
