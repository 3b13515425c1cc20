"""What helps a promise that is in danger, and how odds are said."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Remedy(models.TextChoices):
    """The cheapest thing that helps, in the order in which they are tried."""

    CHASE = "chase", _("ask after the parts")
    ASK = "ask", _("ask the customer")
    FIRST = "first", _("take it first")
    EXTRA_DAY = "extra_day", _("work a day more")
    NEW_DAY = "new_day", _("tell a new day")


def percent(odds: float) -> int:
    """Odds in whole percent; nothing is said to be certain."""
    return min(max(round(odds * 100), 1), 99)
