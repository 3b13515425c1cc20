"""One case: its currents against every limit, its drops, its times, and what that means."""

from collections.abc import Iterable, Mapping, Sequence
from math import fsum
from types import MappingProxyType

from builds.engineering import cells, wire
from builds.engineering.findings import Finding, Level
from builds.engineering.power.values import (
    LEAST_V,
    Basis,
    Budget,
    Cell,
    Drop,
    Limit,
    Load,
    Path,
    Rating,
    Run,
)


def budget(cell: Cell, loads: Sequence[Load], path: Path, basis: Basis = Basis.OWN) -> Budget:
    """Currents, times, limits and drops of loads that are on together.

    Worst: the sum of the worst currents. Typical: the sum of the means over time. Runtime:
    capacity × usable share / current. Drop: see :func:`builds.engineering.wire.voltage_drop_v`.
    Source: Kirchhoff's and Ohm's laws; limits from the tables and ratings named in them.

    :raises ValueError: where loads share a name, or a part carries a load that is not there.
    """
    names_hold(loads, path)
    return of_case(cell, loads, path, basis)


def names_hold(loads: Sequence[Load], path: Path) -> None:
    """Refuse loads of one name, and a part that carries a load nobody named.

    :raises ValueError: naming the load, or the part.
    """
    names = [load.name for load in loads]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise ValueError(f"Two loads bear the name {twice[0]}: give each its own.")
    carries_known(set(names), path)


def carries_known(names: set[str], path: Path) -> None:
    """Refuse a part that carries a load nobody named: its limit would hold unseen.

    :raises ValueError: naming the part.
    """
    parts: tuple[Run | Rating, ...] = (*path.runs, *path.ratings)
    for part in parts:
        if unknown := sorted(set(part.carries) - names):
            raise ValueError(f"{part.name} is said to carry {unknown[0]}, but no load is so named.")


def of_case(cell: Cell, loads: Sequence[Load], path: Path, basis: Basis) -> Budget:
    """The budget, the names being known to hold."""
    worst, typical, idle = (
        fsum(load.worst_a for load in loads),
        fsum(load.mean_a for load in loads),
        fsum(load.idle_a for load in loads),
    )
    limits, drops = _limits(cell, loads, path), _drops(cell, loads, path)
    return Budget(
        worst,
        typical,
        idle,
        cells.runtime_h(cell.capacity_mah, worst * 1000, cell.usable),
        cells.runtime_h(cell.capacity_mah, typical * 1000, cell.usable),
        cells.idle_days(cell.capacity_mah, idle * 1000, cell.self_discharge_per_month),
        limits,
        drops,
        (*_of_limits(limits, basis), *_of_drops(drops, basis), *_of_runs(path.runs)),
    )


def _through(part: Run | Rating, loads: Iterable[Load]) -> float:
    carried = (load for load in loads if not part.carries or load.name in part.carries)
    return fsum(load.worst_a for load in carried)


def _limits(cell: Cell, loads: Sequence[Load], path: Path) -> tuple[Limit, ...]:
    ratings = (cell.rating, *path.ratings)
    rated = (
        Limit(part.name, _through(part, loads), part.limit_a, part.source, part.upper_a)
        for part in ratings
    )
    return (*rated, *(_wire_limit(run, _through(run, loads)) for run in path.runs))


def _table(run: Run) -> wire.Table:
    # A wire thinner than its table's last line goes by the rule that knows every gauge.
    return run.table if wire.knows(run.table, run.gauge) else wire.CMIL


def _wire_limit(run: Run, current_a: float) -> Limit:
    """A run's limit by its table; wires side by side are taken to share the current evenly."""
    found = wire.allowed(run.gauge, _table(run))
    return Limit(
        run.name,
        current_a,
        found.limit_a * run.parallel,
        found.table.source,
        _upper(run),
        f"{found.table.name}, {found.listed} AWG",
    )


def _upper(run: Run) -> float | None:
    # Thicker than the table's first line, a thinner line would bind below what the wire carries.
    listed = wire.UPPER.limits
    if not min(listed) <= wire.gauge_number(run.gauge) <= max(listed):
        return None
    return wire.allowed(run.gauge, wire.UPPER).limit_a * run.parallel


def _drops(cell: Cell, loads: Sequence[Load], path: Path) -> tuple[Drop, ...]:
    lost: list[tuple[Run, float]] = []
    drops = []
    for run in path.runs:
        current = _through(run, loads)
        ohm = 2 * wire.resistance_ohm(run.gauge, run.one_way_m, run.temperature_c) / run.parallel
        lost.append((run, current * ohm))
        before = fsum(volt for other, volt in lost if _passes(run, other))
        drops.append(Drop(run.name, current, current * ohm, ohm, cell.nominal_v - before))
    return tuple(drops)


def _passes(run: Run, other: Run) -> bool:
    """Whether the current of a run has come through another, nearer to the cell, or itself."""
    return not other.carries or bool(run.carries and set(run.carries) <= set(other.carries))


def _of_limits(limits: Iterable[Limit], basis: Basis) -> Iterable[Finding]:
    broken = Level.STOPS if basis is Basis.OWN else Level.DECIDE
    for limit in limits:
        if limit.past_upper:
            yield Finding(broken, "over-upper", limit.name, _figures(limit))
        elif not limit.ok:
            yield Finding(broken, "over-limit", limit.name, _figures(limit))
        elif limit.near:
            yield Finding(Level.KNOW, "near-limit", limit.name, _figures(limit))


def _figures(limit: Limit) -> Mapping[str, float | str]:
    figures: dict[str, float | str] = {
        "current_a": limit.current_a, "limit_a": limit.limit_a, "margin_a": limit.margin_a,
        "source": limit.source, "table": limit.table,
    }  # fmt: skip
    if limit.upper_a is not None:
        figures["upper_a"] = limit.upper_a
    return MappingProxyType(figures)


def _of_drops(drops: Iterable[Drop], basis: Basis) -> Iterable[Finding]:
    level = Level.DECIDE if basis is Basis.OWN else Level.KNOW
    for drop in drops:
        if drop.low and drop.current_a:
            figures: dict[str, float | str] = {
                "left_v": drop.left_v, "least_v": LEAST_V, "drop_v": drop.drop_v,
                "current_a": drop.current_a,
            }  # fmt: skip
            yield Finding(level, "low-voltage", drop.name, MappingProxyType(figures))


def _of_runs(runs: Iterable[Run]) -> Iterable[Finding]:
    for run in runs:
        if not wire.knows(run.table, run.gauge):
            figures: dict[str, float | str] = {
                "gauge": str(run.gauge), "table": run.table.name, "used": wire.CMIL.name,
            }  # fmt: skip
            yield Finding(Level.KNOW, "not-in-table", run.name, MappingProxyType(figures))
