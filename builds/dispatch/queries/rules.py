"""Reads what carriers allow in writing."""

from dataclasses import dataclass
from datetime import date

from builds.dispatch.models import CarrierRule, Service
from builds.dispatch.queries.classing import holds_on
from builds.dispatch.states import RULE_CODES


@dataclass(frozen=True)
class KeptRule:
    """A carrier's rule, what it allows in words, and whether it holds today."""

    rule: CarrierRule
    allows: str
    holds: bool


def kept_rules(service: Service, today: date) -> list[KeptRule]:
    """The rules of a service, the newest first; withdrawn ones stay to be read."""
    rows = service.rules.select_related("by").order_by("withdrawn_at", "-written_on", "-pk")
    return [
        KeptRule(
            row,
            str(RULE_CODES.get(row.code, row.code)),
            row.withdrawn_at is None and holds_on(row, today),
        )
        for row in rows
    ]
