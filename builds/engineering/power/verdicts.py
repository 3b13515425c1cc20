"""The whole build: every slot at its cap, full white on paper, and what that says together."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from builds.engineering.findings import Finding, Level
from builds.engineering.given import NOISE, positive
from builds.engineering.power.budgets import carries_known, names_hold, of_case
from builds.engineering.power.values import (
    IDLE_LIMIT_DAYS,
    Basis,
    Budget,
    Case,
    Cell,
    Path,
    Verdict,
)

_WEIGHT = {Level.STOPS: 0, Level.DECIDE: 1, Level.KNOW: 2}
_BROKEN = ("over-upper", "over-limit")


def judge(
    cell: Cell, cases: Sequence[Case], path: Path, idle_limit_days: float = IDLE_LIMIT_DAYS
) -> Verdict:
    """What the cases of a build say together, the gravest first.

    A limit, or the bound in free air, that the build's own slots break stops it. What only full
    white breaks on paper is one decision for the whole build. Near a limit, or a low voltage at
    full white, is worth knowing. A low voltage in a slot of its own is a decision, and so are
    fewer idle days than the shop wants. Each thing is said once, at the case that is worst for it.
    Source: common practice, no source; limits from the tables and ratings named in them.

    :raises ValueError: without a case, where two bear one name, or a part carries an unknown load.
    """
    positive(idle_limit_days, "The shop's limit of idle days")
    _cases_hold(cases, path)
    budgets = {case.name: of_case(cell, case.loads, path, case.basis) for case in cases}
    own = {case.name: budgets[case.name] for case in cases if case.basis is Basis.OWN}
    paper = {name: found for name, found in budgets.items() if name not in own}
    found = (*_once(own), *_on_paper(paper, own), *_idle(budgets, idle_limit_days))
    ordered = tuple(sorted(found, key=lambda finding: _WEIGHT[finding.level]))
    return Verdict(MappingProxyType(budgets), _worst(own or paper), ordered)


def _cases_hold(cases: Sequence[Case], path: Path) -> None:
    if not cases:
        raise ValueError("There is nothing to judge: give the build a slot, or full white.")
    names = [case.name for case in cases]
    if twice := sorted({name for name in names if names.count(name) > 1}):
        raise ValueError(f"Two cases bear the name {twice[0]}: give each its own.")
    for case in cases:
        names_hold(case.loads, Path())
    carries_known({load.name for case in cases for load in case.loads}, path)


def _worst(budgets: Mapping[str, Budget]) -> str:
    return max(budgets, key=lambda name: budgets[name].worst_a)


def _once(budgets: Mapping[str, Budget]) -> list[Finding]:
    """What each part is found to do, at the case that is worst for it."""
    kept: dict[tuple[str, str], Finding] = {}
    for name, budget in budgets.items():
        for finding in budget.findings:
            key = (_topic(finding), finding.about)
            if key not in kept or _gravity(finding) > _gravity(kept[key]):
                figures = MappingProxyType({**finding.figures, "case": name})
                kept[key] = replace(finding, figures=figures)
    return list(kept.values())


def _topic(finding: Finding) -> str:
    return "limit" if finding.code in (*_BROKEN, "near-limit") else finding.code


def _gravity(finding: Finding) -> tuple[int, float]:
    # By level first: of two parts of one name, the broken one is not hidden behind the other.
    left = finding.figures.get("margin_a", finding.figures.get("left_v", 0.0))
    return -_WEIGHT[finding.level], -float(left)


def _on_paper(paper: Mapping[str, Budget], own: Mapping[str, Budget]) -> Iterable[Finding]:
    """Full white: one decision on all limits it breaks, and what the own slots do not say."""
    found = _once(paper)
    if broken := [finding for finding in found if finding.code in _BROKEN]:
        yield _decision(broken, paper, own)
    said = {(_topic(finding), finding.about) for finding in _once(own)}
    for finding in found:
        if finding.code not in _BROKEN and (_topic(finding), finding.about) not in said:
            yield finding


def _decision(
    broken: Sequence[Finding], paper: Mapping[str, Budget], own: Mapping[str, Budget]
) -> Finding:
    name = _worst(paper)
    past = [finding.about for finding in broken if finding.code == "over-upper"]
    figures: dict[str, float | str] = {
        "current_a": paper[name].worst_a,
        "limits": ", ".join(finding.about for finding in broken),
        "past_upper": ", ".join(past),
        "own_a": max((budget.worst_a for budget in own.values()), default=0.0),
    }
    return Finding(Level.DECIDE, "full-white", name, MappingProxyType(figures))


def _idle(budgets: Mapping[str, Budget], limit_days: float) -> Iterable[Finding]:
    name = min(budgets, key=lambda name: budgets[name].idle_days)
    days = budgets[name].idle_days
    if days < limit_days * (1 - NOISE):
        figures: dict[str, float | str]
        figures = {"idle_days": days, "limit_days": limit_days, "idle_a": budgets[name].idle_a}
        yield Finding(Level.DECIDE, "idle-days", name, MappingProxyType(figures))
