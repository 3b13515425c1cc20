"""What goes into a packing slip: the things in a parcel, and how to wake and to charge them."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _

from builds.dispatch.models import PackedGoods, Parcel
from builds.dispatch.packing import Contained
from builds.dispatch.queries.packing import packings
from builds.dispatch.queries.without import cells_to_buy
from builds.dispatch.states import Stowage
from builds.fitting.models import BuildPart
from builds.intake.models import Belonging, CellCheck, CellResult
from builds.intake.queries import belongings_of, facts
from builds.progress.models import Build
from shop.orders.models import Consignee
from shop.stores.kinds import PartKind


@dataclass(frozen=True)
class Inside:
    """One build in a parcel, and what goes with it."""

    build: Build
    cell: CellCheck | None
    contained: Contained
    back: Sequence[Belonging]
    stays: Sequence[Belonging]
    has_port: bool = False
    to_buy: Sequence[str] = ()  # the cells it wants, where it leaves without

    @property
    def is_left_out(self) -> bool:
        """Whether somebody said that it leaves without a cell."""
        return self.contained.stowage == Stowage.LEFT_OUT

    @property
    def is_cell_unknown(self) -> bool:
        """Whether nobody looked for a cell or said where it is; a blade alone has none."""
        is_said = self.cell is not None or bool(self.contained.stowage)
        return self.build.hilt is not None and not is_said

    @property
    def has_cell(self) -> bool:
        """Whether a cell goes along: somebody said so, or one was found and not set aside."""
        if self.contained.stowage:
            return not self.is_left_out
        return self.cell is not None and self.cell.result in {CellResult.GOOD, CellResult.REWRAP}

    @property
    def is_aside(self) -> bool:
        """Whether the cell that came was set aside as damaged."""
        return self.cell is not None and self.cell.result == CellResult.ASIDE

    @property
    def wake(self) -> str:
        """How to wake it, in one line; common practice, no source."""
        if self.build.hilt is None:
            return ""
        if self.is_left_out and self.to_buy:
            return _("Fit its cell (%s), ends as marked, then press its switch.") % ", ".join(
                self.to_buy
            )
        if self.is_left_out:
            return _("Fit the cell that the booklet names, ends as marked, then press its switch.")
        if self.contained.stowage == Stowage.PACKED_WITH:
            return _("Take the caps off the cell, fit it, ends as marked, then press its switch.")
        return _("Kill switch or key to on, then press its switch.")

    @property
    def charge(self) -> str:
        """How to charge it, in one line; common practice, no source."""
        if self.build.hilt is None:
            return ""
        if self.has_port:
            return _("Through its port, with the charger for it, on a hard surface, never alone.")
        return _("Cell out, in a charger made for it, on a hard surface, never alone.")


@dataclass(frozen=True)
class Slip:
    """One parcel."""

    parcel: Parcel
    to: Consignee
    inside: Sequence[Inside]
    goods: Sequence[PackedGoods]

    @property
    def is_cell_unknown(self) -> bool:
        """Whether nobody looked for a cell in one of them."""
        return any(one.is_cell_unknown for one in self.inside)

    @property
    def asks_care(self) -> bool:
        """Whether the cautions for lithium cells are for this parcel."""
        return any(one.has_cell or one.is_cell_unknown for one in self.inside)


def slips_of(parcels: Iterable[Parcel]) -> list[Slip]:
    """The slips of parcels, in a constant number of queries."""
    found = [one for one in parcels if one.inside]  # type: ignore[attr-defined]
    ids = [packed.build_id for one in found for packed in one.inside]  # type: ignore[attr-defined]
    known, packing, to_buy = facts(ids), packings(found), cells_to_buy(ids)
    things: dict[int, list[Belonging]] = defaultdict(list)
    for thing in belongings_of(ids):
        things[thing.build_id or 0].append(thing)
    ports = BuildPart.objects.filter(build__in=ids, ended_at=None, kind=PartKind.PORT)
    with_port = set(ports.order_by().values_list("build", flat=True))
    goods: dict[int, list[PackedGoods]] = defaultdict(list)
    along = PackedGoods.objects.filter(parcel__in=found, taken_out_at=None)
    for row in along.select_related("item").order_by("pk"):
        goods[row.parcel_id].append(row)
    slips = []
    for one in found:
        inside = [
            Inside(
                build=of.build,
                cell=known[of.build.pk].cell,
                contained=of.contained,
                back=[thing for thing in things[of.build.pk] if not thing.kept_because],
                stays=[thing for thing in things[of.build.pk] if thing.kept_because],
                has_port=of.build.pk in with_port,
                to_buy=to_buy.get(of.build.pk, ()),
            )
            for of in packing[one.pk].builds
        ]
        slips.append(Slip(one, one.consignee, inside, goods[one.pk]))  # type: ignore[arg-type]
    return slips
