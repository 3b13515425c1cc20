"""What the page of a build's parts shows, as finished data."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID, uuid4

from django.utils.translation import gettext as _

from builds.fitting.models import BuildPart, Plan, WireRun
from builds.fitting.queries.listed import parts_of
from builds.fitting.states import WITH_SERIAL, PartState
from builds.progress.models import Build
from shop.stores.models import Kit, KitHours, Part, PurchaseLine, PurchaseState, StockLevel
from shop.stores.queries.costs import cost_of
from shop.stores.queries.levels import amount
from shop.web.figures import pointed


@dataclass(frozen=True)
class Line:
    """A part on the list: how far it has come, what the stores have, what it cost."""

    part: BuildPart
    token: UUID
    free: int | None  # in the stores, beside what is reserved; None of a customer's own part
    cost: int | None  # in minor units, of all of it; None where nobody knows
    coming: PurchaseLine | None = None

    @property
    def state(self) -> PartState:
        """Planned, reserved, fitted."""
        return self.part.state

    @property
    def is_fitted(self) -> bool:
        """Whether it is in the hilt."""
        return self.state == PartState.FITTED

    @property
    def is_short(self) -> bool:
        """Whether the stores have too few for it."""
        planned = self.state == PartState.PLANNED
        return planned and self.free is not None and self.free < self.part.quantity

    @property
    def lacks(self) -> int:
        """How many the stores have too few for it."""
        return max(0, self.part.quantity - (self.free or 0))

    @property
    def is_reservable(self) -> bool:
        """Whether the next deed is to reserve it."""
        return self.state == PartState.PLANNED and self.part.part is not None

    @property
    def wants_serial(self) -> bool:
        """Whether its kind bears a serial number that is still to note."""
        return self.part.kind in WITH_SERIAL and not self.part.serial

    @property
    def amount(self) -> str:
        """How many, or how much by length."""
        return shown(self.part.part, self.part.quantity)

    @property
    def free_shown(self) -> str:
        """What the stores have free of it."""
        return shown(self.part.part, self.free or 0)


def shown(part: Part | None, quantity: int) -> str:
    """So much of a part, as it is shown."""
    return amount(part, quantity) if part else str(quantity)


@dataclass(frozen=True)
class Totals:
    """What the parts and wires of a build cost, and of how many nobody knows it."""

    cost: int
    unknown: int


@dataclass(frozen=True)
class PartsPage:
    """The whole list of a build."""

    lines: Sequence[Line]
    plan: Plan | None
    kits: Sequence[Kit]
    minutes: int  # that its kit usually takes: a guess
    totals: Totals

    @property
    def hours(self) -> str:
        """What its kit usually takes, in hours."""
        return _("%s h") % pointed(f"{self.minutes / 60:.1f}".rstrip("0").rstrip("."))

    @property
    def has_stores_parts(self) -> bool:
        """Whether there is something to make a kit of."""
        return any(line.part.part_id for line in self.lines)

    @property
    def to_fit(self) -> list[Line]:
        """What is not in the hilt yet."""
        return [line for line in self.lines if not line.is_fitted]

    @property
    def fitted(self) -> list[Line]:
        """What is in the hilt."""
        return [line for line in self.lines if line.is_fitted]

    @property
    def short(self) -> list[Line]:
        """What the stores lack."""
        return [line for line in self.lines if line.is_short]


def parts_page(build: Build) -> PartsPage:
    """The parts of a build with all that stands beside them, in a constant number of queries."""
    listed = list(parts_of([build.pk]))
    plan = Plan.objects.filter(build=build).select_related("kit").first()
    lines = _lines(listed)
    hours = KitHours.objects.filter(kit=plan.kit) if plan and plan.kit else KitHours.objects.none()
    return PartsPage(
        lines=lines,
        plan=plan,
        kits=list(Kit.objects.filter(retired=False, lines__isnull=False).distinct()),
        minutes=sum(row.minutes for row in hours),
        totals=_totals(lines, build),
    )


def line_of(part: BuildPart) -> Line:
    """One part as its own page shows it."""
    return _lines([part])[0]


def _lines(listed: Sequence[BuildPart]) -> list[Line]:
    parts = [each.part_id for each in listed if each.part_id]
    levels = {row.part_id: row.free for row in StockLevel.objects.filter(part__in=parts)}
    coming = on_the_way(parts)
    return [
        Line(
            part=each,
            token=uuid4(),
            free=levels.get(each.part_id, 0) if each.part_id else None,
            cost=cost_of(each.part, each.quantity) if each.part else 0,
            coming=coming.get(each.part_id or 0),
        )
        for each in listed
    ]


def on_the_way(parts: Iterable[int | None]) -> dict[int, PurchaseLine]:
    """Part id → the line of an open purchase order that brings it, the one expected first."""
    open_ones = [PurchaseState.ORDERED, PurchaseState.DRAFT]
    found = PurchaseLine.objects.filter(
        part__in=list(parts), purchase__state__in=open_ones, dropped_at=None
    ).select_related("purchase")
    # The last one written stays: ordered ones last, of these the one expected first.
    order = found.order_by("purchase__state", "-purchase__expected_on", "-pk")
    return {line.part_id: line for line in order}


def _totals(lines: Sequence[Line], build: Build) -> Totals:
    wires = WireRun.objects.filter(build=build, ended_at=None, part__isnull=False)
    costs = [line.cost for line in lines]
    costs += [
        cost_of(run.part, run.cut_in_all_mm) for run in wires.select_related("part") if run.part
    ]
    return Totals(sum(cost or 0 for cost in costs), sum(1 for cost in costs if cost is None))
