"""Writes the typical parts down: as a shop is set up, or when it asks for them later."""

from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from shop.history.actions import record
from shop.house.models import House
from shop.people.models import User
from shop.stores.actions.parts import write_part
from shop.stores.models import Rating
from shop.stores.queries.typical import missing
from shop.stores.typical import Typical


@transaction.atomic
def add_typical(*, by: User, now: datetime) -> int:
    """Write down those that are not there, and say how many. Asked twice it adds nothing."""
    House.objects.select_for_update().filter(id=1).first()  # one at a time
    lacking = missing()
    for each in lacking:
        _write(each, now)
    if lacking:
        record("typical_added", "stores", by, now, count=len(lacking))
    return len(lacking)


def _write(typical: Typical, now: datetime) -> None:
    # What the shop does not stock is not said to be short.
    fields: dict[str, Any] = {
        "name": str(typical.name),
        "counted": typical.counted,
        "is_typical": True,
        "stocked": False,
        "note": _("Typical figures: %(source)s.") % {"source": typical.source},
    }
    spec = {name: _plain(value) for name, value in typical.spec.items()}
    part = write_part(typical.kind, fields, spec, now)
    Rating.objects.bulk_create(
        Rating(
            part=part, quantity=name, value=value, is_typical=True, at=now,
            source=str(typical.stated_by or typical.source),
        )
        for name, value in typical.stated.items()
    )  # fmt: skip


def _plain(value: Any) -> Any:
    """A number as it is, words in the shop's language."""
    return value if isinstance(value, int | float) else str(value)
