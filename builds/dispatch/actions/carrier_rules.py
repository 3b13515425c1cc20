"""Keeps what a carrier allows in writing, and withdraws it."""

from datetime import date, datetime
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from builds.dispatch.models import CarrierRule, Service
from builds.dispatch.refusals import Refused
from builds.dispatch.states import RULE_CODES
from shop.history.actions import record
from shop.people.models import User


@transaction.atomic
def keep_rule(
    service: Service,
    *,
    code: str,
    words: str,
    source: str,
    written_on: date,
    valid_until: date | None,
    token: UUID,
    by: User,
    now: datetime,
) -> CarrierRule:
    """Keep a carrier's own written rule. The same token twice is one rule.

    :raises Refused: no carrier's word answers that reason, or somebody else than the owner asks.
    """
    if not by.is_owner:
        raise Refused(_("Only the owner keeps a carrier’s rule."))
    if code not in RULE_CODES:
        raise Refused(_("No carrier’s word answers a damaged cell, or what is not known."))
    if valid_until and valid_until < written_on:
        raise Refused(_("It ends before it was written."))
    rule, is_new = CarrierRule.objects.get_or_create(
        token=token,
        defaults={
            "service": service, "code": code, "words": words.strip(), "source": source.strip(),
            "written_on": written_on, "valid_until": valid_until, "by": by, "at": now,
        },
    )  # fmt: skip
    if is_new:
        record("carrier_rule_kept", service.about, by, now, code=code)
    return rule


@transaction.atomic
def withdraw_rule(rule_id: int, *, by: User, now: datetime) -> None:
    """Let a carrier's rule hold no more; withdrawn already, nothing happens."""
    rule = CarrierRule.objects.select_for_update().get(pk=rule_id)
    if rule.withdrawn_at is None:
        rule.withdrawn_at = now
        rule.save(update_fields=["withdrawn_at"])
        record("carrier_rule_withdrawn", rule.service.about, by, now, code=rule.code)
