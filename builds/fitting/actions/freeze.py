"""Keeps what the sums said of a build as it left teardown, for the day somebody asks."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction

from builds.engineering.findings import Finding
from builds.fitting.actions.plan import plan_of
from builds.fitting.layout import Layout
from builds.fitting.loads import judged
from builds.fitting.loads.kept import kept
from builds.fitting.models import Plan
from builds.fitting.queries.fit import layouts
from builds.fitting.queries.power import wants_of
from builds.progress.models import Build
from shop.house.queries import house


@transaction.atomic
def freeze(build: Build, now: datetime) -> Plan:
    """Write the results into the plan, over those of an earlier time that it left teardown."""
    plan = plan_of(build)
    layout = layouts([build]).get(build.pk)
    plan.fit = fit_result(layout) if layout else None
    plan.power = kept(judged(wants_of([build.pk], house())[build.pk]))
    plan.frozen_at = now
    plan.save(update_fields=["fit", "power", "frozen_at"])
    return plan


def fit_result(layout: Layout) -> dict[str, Any]:
    """A layout as it is kept: numbers in mm, findings by their codes."""
    slack = layout.slack
    return {
        "length_mm": layout.length,
        "engaged_mm": layout.blade.depth.mm if layout.blade else None,
        "slack_mm": [slack.worst_low, slack.nominal, slack.worst_high] if slack else None,
        "across": [
            {
                "section": cut.tube.name,
                "parts": [item.name for item in cut.combo.items],
                "bore_mm": cut.tube.bore.mm,
                "bore_known": cut.tube.bore.basis,
                "least_bore_mm": cut.combo.least_mm,
                "clearance_mm": cut.clearance_mm,
            }
            for cut in layout.cuts
        ],
        "findings": findings_kept(layout.findings),
        "missing": [[lack.code, lack.of] for lack in layout.lacks],
    }


def findings_kept(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Findings as they are kept."""
    return [
        {
            "level": str(found.level), "code": found.code, "about": found.about,
            "figures": dict(found.figures),
        }
        for found in findings
    ]  # fmt: skip
