"""Reads claims for dead parts."""

from datetime import datetime, timedelta

from django.db.models import QuerySet

from shop.stores.models import Claim, ClaimState

WAITING = (ClaimState.OPEN, ClaimState.SENT)
TOO_LONG = timedelta(days=7)  # common practice, no source


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
