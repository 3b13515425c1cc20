"""The cells in parcels: what goes along, where it lies, and the parcel as the rules see it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext as _

from builds.dispatch.models import Packed, PackedGoods, Parcel, Stowed
from builds.dispatch.queries.consigned import packages_of
from builds.dispatch.queries.loose import loose_cells
from builds.dispatch.queries.told import (
    Changed,
    Told,
    cells_changed,
    told_of_builds,
    told_of_part,
)
from builds.dispatch.states import Stowage
from builds.engineering import lithium
from builds.intake.queries import facts
from shop.stores.kinds import PartKind
from shop.stores.queries.known import figures


@dataclass(frozen=True)
class Thing:
    """A hilt or goods in a parcel, with the cells that it has or may have.

    ``stowage`` is empty while nobody has said it. ``is_bad``: its cell was looked at and must
    stay, None where nobody looked. ``runs`` is how many of the cells in it, or of those goods,
    what it runs takes; 0 where what it runs has its own inside already.
    """

    key: str  # "build-7" or "goods-3"
    name: str
    pk: int
    is_build: bool
    told: tuple[Told, ...] = ()
    answer: Stowed | None = None
    stowage: str = ""
    charge: int | None = None
    is_bad: bool | None = False
    runs: int | None = None
    is_overtaken: bool = False  # its cells changed since somebody said where they are

    @property
    def goes_along(self) -> bool:
        """Whether a cell of it is in the parcel, or may be."""
        return self.stowage != Stowage.LEFT_OUT

    @property
    def is_answered(self) -> bool:
        """Whether somebody said where its cell is and how its ends are safe."""
        safe = bool(self.answer and self.answer.terminals)
        return not self.goes_along or self.is_without_lithium or (bool(self.stowage) and safe)

    @property
    def is_without_lithium(self) -> bool:
        """Whether its cell has no lithium."""
        return bool(self.items) and all(
            item.chemistry is lithium.Chemistry.NONE for item in self.items
        )

    @property
    def items(self) -> tuple[lithium.Cells, ...]:
        """Its cells as the rules see them; what nobody said is missing."""
        if not self.goes_along:
            return ()
        return tuple(self._cells(told) for told in self.told or (Told(),))

    def _cells(self, told: Told) -> lithium.Cells:
        typed = (None if self.is_overtaken else self.answer) or Stowed()
        return lithium.Cells(
            chemistry=_chemistry(told.chemistry or typed.chemistry),
            unit=_unit(told.unit or typed.unit),
            count=told.count or typed.count,
            watt_hours=told.watt_hours or typed.watt_hours,
            lithium_g=typed.lithium_g,
            carried=_carried(self.stowage),
            needed=self._needed(told, typed),
            charge_percent=self.charge,
            test_summary=typed.test_summary if told.test_summary is None else told.test_summary,
        )

    def _needed(self, told: Told, typed: Stowed) -> int | None:
        # A hilt runs on the cells that are fitted in it.
        own = told.count if self.is_build else self.runs
        return typed.needed if own is None else own

    @property
    def mass_g(self) -> float | None:
        """The mass of its cells, None where one is not known."""
        each = [told.mass_g * told.count for told in self.told if told.mass_g and told.count]
        return sum(each) if self.told and len(each) == len(self.told) else None


def _chemistry(word: str) -> lithium.Chemistry | None:
    return lithium.Chemistry(word) if word else None


def _unit(word: str) -> lithium.Unit | None:
    return lithium.Unit(word) if word else None


def _carried(word: str) -> lithium.Carried | None:
    return lithium.Carried(word) if word else None


@dataclass(frozen=True)
class Contents:
    """What is known of one parcel for its class."""

    things: tuple[Thing, ...] = ()
    packages: int = 1
    gross_g: int | None = None
    used: bool = True
    loose: tuple[str, ...] = ()  # cells among what came with the hilts and goes back beside them

    @property
    def parcel(self) -> lithium.Parcel:
        """The parcel as the rules see it.

        :raises ValueError: where its cells weigh more than it does.
        """
        items = tuple(item for thing in self.things for item in thing.items)
        return lithium.Parcel(
            items or (lithium.Cells(lithium.Chemistry.NONE),),
            packages=self.packages,
            gross_kg=self.gross_g / 1000 if self.gross_g else None,
            used=self.used,
            damaged=self._damaged,
            net_kg=self._net_kg,
        )

    @property
    def along(self) -> tuple[Thing, ...]:
        """What has a cell that goes along, or may have."""
        return tuple(
            thing for thing in self.things if thing.goes_along and not thing.is_without_lithium
        )

    @property
    def _damaged(self) -> bool | None:
        looks = [thing.is_bad for thing in self.along]
        return True if True in looks else (None if None in looks else False)

    @property
    def _net_kg(self) -> float | None:
        masses = [thing.mass_g for thing in self.along]
        known = [mass for mass in masses if mass is not None]
        return sum(known) / 1000 if known and len(known) == len(masses) else None

    def but(self, keys: Iterable[str], **changed: object) -> "Contents":
        """The same with some things otherwise."""
        chosen = set(keys)
        return replace(
            self,
            things=tuple(
                replace(thing, **changed) if thing.key in chosen else thing  # type: ignore[arg-type]
                for thing in self.things
            ),
        )


def contents_of(parcels: Sequence[Parcel], days: Mapping[int, date]) -> dict[int, Contents]:
    """Parcel id → what is known of it for its class, in a constant number of queries.

    :param days: parcel id → the day on which it leaves, for what goes along to the same person.
    """
    ids = [parcel.pk for parcel in parcels]
    inside, goods = _inside(ids), _goods(ids)
    stowed = Stowed.objects.filter(parcel__in=ids)
    answers = {_key(row): row for row in stowed}
    hilts = _hilts([packed for rows in inside.values() for packed in rows], answers)
    packages, loose = packages_of(parcels, days), loose_cells(ids)
    found = {}
    known = figures(row.item.part for rows in goods.values() for row in rows if row.item.part)
    for parcel in parcels:
        own = [hilts[row.build_id] for row in inside[parcel.pk] if row.build_id in hilts]
        extra = [
            _of_goods(row, _told_of_goods(row, known), answers, own) for row in goods[parcel.pk]
        ]
        found[parcel.pk] = Contents(
            (*own, *_each_needed_once(extra)),
            packages[parcel.pk],
            parcel.gross_g,
            not parcel.is_unused,
            tuple(loose[parcel.pk]),
        )
    return found


def _inside(ids: Sequence[int]) -> dict[int, list[Packed]]:
    found: dict[int, list[Packed]] = defaultdict(list)
    rows = Packed.objects.filter(parcel__in=ids, taken_out_at=None)
    for row in rows.select_related("build__hilt").order_by("build"):
        found[row.parcel_id].append(row)
    return found


def _goods(ids: Sequence[int]) -> dict[int, list[PackedGoods]]:
    """What goods may have a cell: cells from stores, and what stands in no stores."""
    found: dict[int, list[PackedGoods]] = defaultdict(list)
    rows = PackedGoods.objects.filter(parcel__in=ids, taken_out_at=None)
    for row in rows.select_related("item__part").order_by("pk"):
        if row.item.part is None or row.item.part.kind in _MAY_HOLD_ONE:
            found[row.parcel_id].append(row)
    return found


_MAY_HOLD_ONE = (PartKind.CELL, PartKind.OTHER)


def _key(row: Stowed) -> str:
    # A build that went on to another parcel is asked anew there.
    return f"build-{row.build_id}-{row.parcel_id}" if row.build_id else f"goods-{row.goods_id}"


def _hilts(rows: Sequence[Packed], answers: Mapping[str, Stowed]) -> dict[int, Thing]:
    ids = [row.build_id for row in rows]
    told, looks, changed = told_of_builds(ids), facts(ids), cells_changed(ids)
    found = {}
    for row in rows:
        answer = answers.get(f"build-{row.build_id}-{row.parcel_id}")
        if row.build.hilt is None and row.build_id not in told:
            continue  # a blade alone
        look = looks[row.build_id]
        is_overtaken = bool(answer and overtaken(answer, changed.get(row.build_id)))
        holds = None if is_overtaken else answer
        found[row.build_id] = Thing(
            key=f"build-{row.build_id}",
            name=str(row.build.hilt or row.build),
            pk=row.build_id,
            is_build=True,
            told=told.get(row.build_id, ()),
            answer=answer,
            stowage=holds.stowage if holds else "",
            charge=holds.charge_percent if holds else None,
            is_bad=bool(look.why_cell_stays) if look.cell else None,
            is_overtaken=is_overtaken,
        )
    return found


def overtaken(answer: Stowed, changed: Changed | None) -> bool:
    """Whether cells came in or out of the hilt since somebody said where they are."""
    left_out = answer.stowage == Stowage.LEFT_OUT
    return changed is not None and changed.is_after(answer.at, left_out=left_out)


def _told_of_goods(row: PackedGoods, known: Mapping[int, object]) -> tuple[Told, ...]:
    part = row.item.part
    if part is None or part.kind != PartKind.CELL:
        return ()
    return (told_of_part(part, row.item.quantity, known[part.pk]),)  # type: ignore[arg-type]


def _of_goods(
    row: PackedGoods,
    told: tuple[Told, ...],
    answers: Mapping[str, Stowed],
    hilts: Sequence[Thing],
) -> Thing:
    answer, run = answers.get(f"goods-{row.pk}"), _run_by(told, hilts)
    stowage = answer.stowage if answer else (_where(run) if told else "")
    if stowage == Stowage.PACKED_WITH and not (run or (hilts and not told)):
        stowage = Stowage.LOOSE  # nothing that it runs is in the parcel
    return Thing(
        key=f"goods-{row.pk}",
        name=_("%(what)s × %(n)d") % {"what": row.item.wanted, "n": row.item.quantity}
        if row.item.quantity > 1
        else row.item.wanted,
        pk=row.pk,
        is_build=False,
        told=told,
        answer=answer,
        stowage=stowage,
        charge=answer.charge_percent if answer else None,
        runs=_still_needed(run) if told else None,
    )


def _each_needed_once(extra: Sequence[Thing]) -> list[Thing]:
    """Of like cells on two lines of an order, what the hilts lack is needed once, not twice."""
    met: set[int] = set()
    found = []
    for thing in extra:
        parts = {told.part_id for told in thing.told if told.part_id}
        found.append(replace(thing, runs=0) if parts & met and thing.runs else thing)
        met |= parts
    return found


def _where(run: Sequence[Thing]) -> str:
    return Stowage.PACKED_WITH if run else Stowage.LOOSE


def _run_by(told: tuple[Told, ...], hilts: Sequence[Thing]) -> list[Thing]:
    """The hilts in the parcel that run on such a cell."""
    part_ids = {each.part_id for each in told}
    return [hilt for hilt in hilts if part_ids & {each.part_id for each in hilt.told}]


def _still_needed(run: Sequence[Thing]) -> int:
    """How many cells those hilts want beside what is in the parcel for them already."""
    bare = [hilt for hilt in run if not hilt.goes_along]
    return sum(told.count or 0 for hilt in bare for told in hilt.told)
