"""What the parts of builds, and goods from stores, say of their cells; typical figures do not."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max

from builds.engineering.lithium import Chemistry, Unit
from builds.fitting.models import BuildPart
from builds.fitting.queries.listed import parts_of
from shop.stores.kinds import PartKind
from shop.stores.models import Part
from shop.stores.queries.known import Figures, figures

_ONE_CELL_MV = 4000  # no single cell has a higher nominal voltage; common practice, no source


@dataclass(frozen=True)
class Told:
    """Like cells, as far as their part says what they are; ``watt_hours`` and mass of each."""

    name: str = ""
    part_id: int | None = None
    chemistry: str | None = None
    unit: str | None = None
    count: int | None = None
    watt_hours: float | None = None
    mass_g: float | None = None
    test_summary: bool | None = None


def told_of_builds(build_ids: Iterable[int]) -> dict[int, tuple[Told, ...]]:
    """Build id → the cells that are fitted in it, in a constant number of queries."""
    rows = [part for part in parts_of(build_ids) if part.kind == PartKind.CELL and part.fitted_at]
    known = figures(part.part for part in rows if part.part)
    found: dict[int, list[Told]] = defaultdict(list)
    for row in rows:
        found[row.build_id].append(_of_row(row, known))
    return {build_id: tuple(cells) for build_id, cells in found.items()}


@dataclass(frozen=True)
class Changed:
    """When the cells of a build were last put in, and last taken out."""

    put_in: datetime | None = None
    taken_out: datetime | None = None

    def is_after(self, moment: datetime, *, left_out: bool) -> bool:
        """Whether what was said at a moment may be true no more.

        That a cell came out does not gainsay that the hilt leaves without one.
        """
        later = [self.put_in] if left_out else [self.put_in, self.taken_out]
        return any(at is not None and at > moment for at in later)


def cells_changed(build_ids: Iterable[int]) -> dict[int, Changed]:
    """Build id → when its cells last changed, in one query."""
    rows = BuildPart.objects.filter(build__in=list(build_ids), kind=PartKind.CELL)
    last = rows.filter(fitted_at__isnull=False).order_by().values("build")
    return {
        row["build"]: Changed(row["put_in"], row["taken_out"])
        for row in last.annotate(put_in=Max("fitted_at"), taken_out=Max("ended_at"))
    }


def _of_row(row: BuildPart, known: Mapping[int, Figures]) -> Told:
    if row.part:
        return told_of_part(row.part, row.quantity, known[row.part.pk])
    own = row.spec
    return _told(
        row.name, None, row.quantity, own.get("nominal_mv"), own.get("capacity_mah"),
        own.get("mass_g"), str(own.get("chemistry") or ""), str(own.get("test_summary") or ""),
    )  # fmt: skip


def told_of_part(part: Part, count: int, known: Figures) -> Told:
    """So many cells of a part of the stores."""
    return _told(
        part.name, part.pk, count, _sure(known, "nominal_mv"), _most(known, "capacity_mah"),
        _sure(known, "mass_g"), _sure_word(known, "chemistry"), _sure_word(known, "test_summary"),
    )  # fmt: skip


def _told(
    name: str, part_id: int | None, count: int, nominal_mv: float | None,
    capacity_mah: float | None, mass_g: float | None, chemistry: str, summary: str,
) -> Told:  # fmt: skip
    energy = nominal_mv * capacity_mah / 1e6 if nominal_mv and capacity_mah else None
    return Told(
        name=name,
        part_id=part_id,
        chemistry=chemistry or None,
        unit=_unit(chemistry, nominal_mv),
        count=count,
        watt_hours=energy,
        mass_g=mass_g,
        test_summary={"yes": True, "no": False}.get(summary),
    )


def _unit(chemistry: str, nominal_mv: float | None) -> str | None:
    """Several cells in a row show in the voltage; several side by side do not: that is asked."""
    if chemistry == Chemistry.ION and nominal_mv and nominal_mv > _ONE_CELL_MV:
        return Unit.BATTERY.value
    return None


def _sure(known: Figures, name: str) -> float | None:
    found = known.by_name.get(name)
    return None if found is None or found.is_typical else known.number(name)


def _sure_word(known: Figures, name: str) -> str:
    found = known.by_name.get(name)
    return "" if found is None or found.is_typical else known.word(name)


def _most(known: Figures, name: str) -> float | None:
    """The highest that a source states: of a limit on energy that is the careful side."""
    found = known.by_name.get(name)
    if found is None:
        return None
    stated = [each.value for each in (found, *found.others) if not each.is_typical]
    return float(max(stated)) if stated else None
