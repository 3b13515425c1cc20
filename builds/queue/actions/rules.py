"""The shop's own rules of the line and its dates."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from builds.queue.models import StageLimit
from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User


@transaction.atomic
def change_rules(
    *, most_opened: int, least_odds_percent: int, shows_odds: bool, limits: Mapping[str, int],
    by: User, now: datetime,
) -> None:  # fmt: skip
    """Say how much is opened at once, how sure a promise must be, and whether customers see it.

    :param limits: stage → how many may be started in it; what is not named has no limit.
    """
    House.objects.update(
        most_opened=most_opened, least_odds_percent=least_odds_percent, shows_odds=shows_odds
    )
    StageLimit.objects.exclude(stage__in=limits).delete()
    for stage, most in sorted(limits.items()):
        StageLimit.objects.update_or_create(stage=stage, defaults={"most": most})
    record("date_rules_changed", "house", by, now)
