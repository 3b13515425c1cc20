"""Reads how far parcels are packed: their lists, what of them is ticked, and by whom."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from builds.dispatch.models import Packed, PackedGoods, PackTick, Parcel, Stowed
from builds.dispatch.packing import Contained, Line, cell_words, lines
from builds.progress.models import Build


@dataclass(frozen=True)
class Ticked:
    """A line, and who ticked it; None while nobody has."""

    line: Line
    tick: PackTick | None


@dataclass(frozen=True)
class OfBuild:
    """The list of one build in a parcel."""

    build: Build
    contained: Contained
    lines: Sequence[Ticked]

    @property
    def cell_words(self) -> str:
        """Where its cell is, in words."""
        return cell_words(self.contained)


@dataclass(frozen=True)
class Packing:
    """The packing list of a parcel, as far as it is done."""

    builds: Sequence[OfBuild] = ()
    whole: Sequence[Ticked] = ()

    @property
    def all(self) -> list[Ticked]:
        """Every line to tick."""
        return [*(line for one in self.builds for line in one.lines), *self.whole]

    @property
    def open(self) -> list[Line]:
        """The lines that nobody has ticked."""
        return [one.line for one in self.all if one.tick is None]


def packings(parcels: Iterable[Parcel]) -> dict[int, Packing]:
    """Parcel id → its packing list, in a constant number of queries."""
    ids = [parcel.pk for parcel in parcels]
    inside: dict[int, list[Build]] = defaultdict(list)
    there = Packed.objects.filter(parcel__in=ids, taken_out_at=None)
    for packed in there.select_related(
        "build__hilt", "build__tray", "build__item__order__customer"
    ).order_by("build__number"):
        inside[packed.parcel_id].append(packed.build)
    goods: dict[int, list[PackedGoods]] = defaultdict(list)
    along = PackedGoods.objects.filter(parcel__in=ids, taken_out_at=None)
    for row in along.select_related("item").order_by("pk"):
        goods[row.parcel_id].append(row)
    stowed = {
        (row.parcel_id, row.build_id): row
        for row in Stowed.objects.filter(parcel__in=ids, build__isnull=False)
    }
    ticks = {
        (tick.parcel_id, tick.code, tick.build_id): tick
        for tick in PackTick.objects.filter(parcel__in=ids, taken_back_at=None).select_related("by")
    }
    return {pk: _packing(pk, inside[pk], goods[pk], stowed, ticks) for pk in ids}


_Stowed = dict[tuple[int, int | None], Stowed]
_Ticks = dict[tuple[int, str, int | None], PackTick]


def _packing(
    parcel: int, builds: list[Build], goods: list[PackedGoods], stowed: _Stowed, ticks: _Ticks
) -> Packing:
    contained = [_contained(build, stowed.get((parcel, build.pk))) for build in builds]
    named = [(row.pk, _named(row)) for row in goods]
    ticked = [
        Ticked(line, ticks.get((parcel, line.code, line.build))) for line in lines(contained, named)
    ]
    return Packing(
        builds=[
            OfBuild(build, one, [row for row in ticked if row.line.build == build.pk])
            for build, one in zip(builds, contained, strict=True)
        ],
        whole=[row for row in ticked if row.line.build is None],
    )


def _contained(build: Build, row: Stowed | None) -> Contained:
    said = (row.stowage, row.terminals, row.charge_percent) if row else ("", "", None)
    return Contained(build.pk, build.hilt_id is not None, *said)


def _named(row: PackedGoods) -> str:
    return row.item.wanted if row.item.quantity == 1 else f"{row.item.quantity} × {row.item.wanted}"


def packing_of(parcel: Parcel) -> Packing:
    """The packing list of one parcel."""
    return packings([parcel])[parcel.pk]
