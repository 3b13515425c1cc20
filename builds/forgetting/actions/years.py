"""For how many years papers and binding answers name somebody who was erased."""

from datetime import datetime
from typing import Any

from django.db import transaction

from shop.history.actions import record
from shop.house.models import House


@transaction.atomic
def keep_names_for(years: int, *, by: Any, now: datetime) -> None:
    """Set the years; it counts for whoever is erased from now on."""
    House.objects.filter(id=1).update(names_kept_years=years)
    record("names_years_set", "house", by, now, years=years)
