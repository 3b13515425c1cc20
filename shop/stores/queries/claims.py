"""Reads claims for dead parts."""

from datetime import datetime, timedelta

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext_lazy as _

from shop.stores.models import Claim, ClaimState

WAITING = (ClaimState.OPEN, ClaimState.SENT)
TOO_LONG = timedelta(days=7)  # common practice, no source

# What a claim can come to, as the deed that says so.
STEPS = {
    ClaimState.SENT: _("It is sent back"),
    ClaimState.REPLACED: _("They sent a new one"),
    ClaimState.CREDITED: _("They gave the money back"),
    ClaimState.REFUSED: _("They refused it"),
}


def claims() -> QuerySet[Claim]:
    """Claims with what a row of them shows."""
    return Claim.objects.select_related("supplier", "part", "line__purchase", "made_by")


def waiting_claims() -> QuerySet[Claim]:
    """Claims that nobody has settled, the oldest first."""
    return claims().filter(state__in=WAITING).order_by("state_since", "pk")


def settled_claims() -> QuerySet[Claim]:
    """Claims that are settled, the newest first."""
    return claims().exclude(state__in=WAITING).order_by("-state_since", "-pk")


def old_claims(now: datetime) -> QuerySet[Claim]:
    """Claims with which nothing has happened for more than a week."""
    return waiting_claims().filter(state_since__lt=now - TOO_LONG)


def is_old(claim: Claim, now: datetime) -> bool:
    """Whether a claim waits, and nothing has happened with it for more than a week."""
    return claim.state in WAITING and claim.state_since < now - TOO_LONG


def claim_counts() -> dict[str, int]:
    """How many claims wait, and how many are settled."""
    return Claim.objects.aggregate(
        open=Count("pk", filter=Q(state__in=WAITING)),
        settled=Count("pk", filter=~Q(state__in=WAITING)),
    )
