"""The power of a build as it is kept when it leaves teardown: plain values for JSON."""

from math import isinf
from typing import Any

from builds.engineering.power import Budget
from builds.fitting.loads.judged import Judged


def kept(power: Judged) -> dict[str, Any]:
    """Currents in A, times in h and days, findings by their codes; no end is None."""
    budgets = power.verdict.budgets if power.verdict else {}
    return {
        "cap": power.wants.cap,
        "cell": power.cored.cell.name if power.cored else None,
        "slots": [
            {"place": slot.place, "name": slot.name, "colour": slot.colour}
            for slot in power.wants.slots
        ],
        "worst": power.verdict.worst if power.verdict else None,
        "cases": {name: _budget(budget) for name, budget in budgets.items()},
        "findings": [
            {
                "level": str(found.level), "code": found.code, "about": found.about,
                "figures": dict(found.figures),
            }
            for found in power.findings
        ],
        "missing": [[lack.code, lack.about] for lack in power.lacks],
    }  # fmt: skip


def _budget(budget: Budget) -> dict[str, Any]:
    return {
        "worst_a": budget.worst_a,
        "typical_a": budget.typical_a,
        "idle_a": budget.idle_a,
        "runtime_worst_h": _ends(budget.runtime_worst_h),
        "runtime_typical_h": _ends(budget.runtime_typical_h),
        "idle_days": _ends(budget.idle_days),
        "limits": [
            {
                "name": limit.name, "current_a": limit.current_a, "limit_a": limit.limit_a,
                "source": limit.source, "table": limit.table,
            }
            for limit in budget.limits
        ],
    }  # fmt: skip


def _ends(value: float) -> float | None:
    return None if isinf(value) else value
