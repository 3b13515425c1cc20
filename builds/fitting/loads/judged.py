"""The power of one build: its cases judged, what the sums found, what is missing."""

from collections.abc import Iterable
from dataclasses import dataclass
from types import MappingProxyType

from builds.engineering import cells
from builds.engineering.findings import Finding, Level
from builds.engineering.given import NOISE
from builds.engineering.power import (
    Basis,
    Budget,
    Case,
    Cell,
    Load,
    Path,
    Run,
    Verdict,
    budget,
    judge,
)
from builds.fitting.loads import core, lights, ways
from builds.fitting.loads.values import Drawn, Given, Lack, Resisted, Shown, Strip, Wants

FULL_WHITE = "full white"
WHITE = "#ffffff"
SERIES = ("E12", "E24", "E96")
_WEIGHT = {Level.STOPS: 0, Level.DECIDE: 1, Level.KNOW: 2}


@dataclass(frozen=True)
class Judged:
    """All that the power page and the gate say about one build."""

    wants: Wants
    cored: core.Cored | None
    strip: Strip | None
    drawn: tuple[Drawn, ...]
    sounding: core.Sounding | None
    resistors: tuple[Resisted, ...]
    path: Path
    verdict: Verdict | None
    charge: Budget | None
    charge_given: Given | None
    findings: tuple[Finding, ...]
    lacks: tuple[Lack, ...]

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What stops the build."""
        return tuple(found for found in self.findings if found.level is Level.STOPS)

    @property
    def blocking(self) -> tuple[Lack, ...]:
        """What is missing so that there is no answer."""
        return tuple(lack for lack in self.lacks if lack.blocks)

    @property
    def own(self) -> Budget | None:
        """The budget of the slot that takes most; of full white where there is no slot."""
        return self.verdict.budgets[self.verdict.worst] if self.verdict else None

    @property
    def idle_is_known(self) -> bool:
        """Whether somebody has said what the board takes asleep."""
        return any(each.how == "board" and each.load.idle_a for each in self.drawn)


def judged(wants: Wants, series: str = "E24") -> Judged:
    """What the parts, wires and slots of a build come to."""
    cored, lacks = core.core(wants)
    cell = cored.cell if cored else None
    strip, missing = lights.strip(wants)
    resistors = lights.resisted(wants, cell, series)
    drawn, sounding, more = _drawn(wants, cored, resistors)
    lacks += [*missing, *more]
    if strip is None and not missing and not wants.of("led"):
        lacks.append(Lack("no-light", blocks=True))
    if not wants.slots:
        lacks.append(Lack("no-slot", blocks=True))
    fed = _fed(strip, drawn)
    runs, unfed = ways.runs(wants.wires, fed)
    path = Path(tuple(runs), tuple(ways.ratings(wants, fed)))
    if not wants.wires:
        lacks.append(Lack("no-wire"))
    charge_runs, charge_given, uncharged = ways.charging(wants)
    verdict, impossible = _verdict(wants, cell, strip, drawn, path)
    charge = _charge(cell, charge_runs, charge_given)
    found = (*(verdict.findings if verdict else ()), *_of_charge(charge, charge_runs))
    found = (*found, *_of_parts(wants, cored, strip, verdict, sounding, resistors))
    return Judged(
        wants=wants,
        cored=cored,
        strip=strip,
        drawn=tuple(drawn),
        sounding=sounding,
        resistors=tuple(resistors),
        path=path,
        verdict=verdict,
        charge=charge,
        charge_given=charge_given,
        findings=tuple(sorted(found, key=lambda each: _WEIGHT[each.level])),
        lacks=(*lacks, *unfed, *uncharged, *impossible),
    )


def _drawn(
    wants: Wants, cored: core.Cored | None, resistors: list[Resisted]
) -> tuple[list[Drawn], core.Sounding | None, list[Lack]]:
    drawn, lacks = lights.steady(wants, resistors)
    board, missing = core.board(wants)
    sounding, unsaid = core.sounding(wants, cored)
    drawn += [each for each in (board, core.amplifier(sounding) if sounding else None) if each]
    return drawn, sounding, [*lacks, *missing, *unsaid]


def _fed(strip: Strip | None, drawn: Iterable[Drawn]) -> dict[str, list[str]]:
    fed: dict[str, list[str]] = {"blade": [strip.name]} if strip else {}
    for each in drawn:
        fed.setdefault(each.feeds, []).append(each.load.name)
    return fed


def _cases(wants: Wants, strip: Strip | None, drawn: Iterable[Drawn]) -> list[Case]:
    steady = tuple(each.load for each in drawn)

    def loads(slot: Shown, cap: float) -> tuple[Load, ...]:
        return (strip.load(slot, cap), *steady) if strip else steady

    white = Shown(0, FULL_WHITE, WHITE)
    own = [Case(slot.case, loads(slot, wants.cap), Basis.OWN) for slot in wants.slots]
    return [*own, Case(FULL_WHITE, loads(white, 1.0), Basis.PAPER)]


def _verdict(
    wants: Wants, cell: Cell | None, strip: Strip | None, drawn: list[Drawn], path: Path
) -> tuple[Verdict | None, list[Lack]]:
    lit = strip is not None or any(each.feeds == "blade" for each in drawn)
    if cell is None or not lit:
        return None, []
    try:
        cases = _cases(wants, strip, drawn)
        return judge(cell, cases, path, wants.least_idle_days), []
    except ValueError:  # a figure that cannot be, written down with a part
        return None, [Lack("impossible", blocks=True)]


def _charge(cell: Cell | None, runs: list[Run], current: Given | None) -> Budget | None:
    """The wires that charge, by themselves: their current does not come out of the cell."""
    if cell is None or current is None or not runs:
        return None
    amps = current.value / 1000
    return budget(cell, [Load("charging", amps, amps)], Path(tuple(runs)))


def _of_charge(charge: Budget | None, runs: list[Run]) -> list[Finding]:
    names = {run.name for run in runs}
    found = charge.findings if charge else ()
    return [each for each in found if each.about in names and each.code != "low-voltage"]


def _of_parts(
    wants: Wants,
    cored: core.Cored | None,
    strip: Strip | None,
    verdict: Verdict | None,
    sounding: core.Sounding | None,
    resistors: list[Resisted],
) -> list[Finding]:
    found = [_speaker_over(sounding)] if sounding and sounding.is_over else []
    found += [_cells_many(wants, cored)] if cored and core.cells_of(wants) > 1 else []
    found += [_led_full(each) for each in resistors if _is_over_when_full(each)]
    found += [_unlit(each) for each in resistors if each.why_not]
    if cored and strip and verdict:
        days, least = _powered(cored, strip, verdict), wants.least_idle_days
        if days < least * (1 - NOISE):
            found.append(_powered_found(strip, days, least))
    return found


def _powered(cored: core.Cored, strip: Strip, verdict: Verdict) -> float:
    """Idle days where nothing switches the strip's supply off."""
    idle = verdict.budgets[verdict.worst].idle_a + strip.dark_a
    return cells.idle_days(
        cored.cell.capacity_mah, idle * 1000, cored.cell.self_discharge_per_month
    )


def _speaker_over(sounding: core.Sounding) -> Finding:
    rating = sounding.rating.value / 1000 if sounding.rating else 0.0
    figures = {"most_w": sounding.most_w, "rating_w": rating}
    return _found(Level.DECIDE, "speaker-over", sounding.part.name, figures)


def _cells_many(wants: Wants, cored: core.Cored) -> Finding:
    return _found(Level.DECIDE, "cells-many", cored.cell.name, {"cells": core.cells_of(wants)})


def _is_over_when_full(each: Resisted) -> bool:
    return each.worst_a > each.current.value / 1000 * (1 + NOISE)


def _led_full(each: Resisted) -> Finding:
    figures = {"full_a": each.worst_a, "current_a": each.current.value / 1000}
    return _found(Level.KNOW, "led-full", each.name, {**figures, "full_v": each.full_v})


def _unlit(each: Resisted) -> Finding:
    figures = {"forward_v": each.forward.value / 1000, "supply_v": each.supply_v}
    return _found(Level.DECIDE, "led-unlit", each.name, figures)


def _powered_found(strip: Strip, days: float, least: float) -> Finding:
    figures = {"idle_days": days, "limit_days": least, "dark_a": strip.dark_a}
    return _found(Level.KNOW, "strip-powered", strip.name, figures)


def _found(level: Level, code: str, about: str, figures: dict[str, float]) -> Finding:
    return Finding(level, code, about, MappingProxyType(dict(figures)))


def powered_days(found: Judged) -> float | None:
    """Idle days with the strip left powered, None where there is none."""
    if found.cored is None or found.strip is None or found.verdict is None:
        return None
    return _powered(found.cored, found.strip, found.verdict)


def limits_of(found: Judged) -> dict[str, Given]:
    """Name of a part that the current passes → its limit with who says so."""
    made = {part.name: limit for part, limit, _passes in ways.rated(found.wants)}
    if found.cored:
        made[found.cored.cell.name] = found.cored.limit
    return made
