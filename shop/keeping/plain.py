"""Rows as anybody reads them: what a column is called outside, and what stands in it.

Sums of money in minor units become decimals, each row with its currency; times are ISO 8601 with
the zone of the shop; words of others that a spreadsheet would take for a formula get a quote
before them. What opens doors (passwords, codes, tokens) is never written out.
"""

import base64
import json
import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.apps import apps
from django.db.models import Field, FileField, Model

from shop.keeping.rows import APPS
from shop.web.commas import Figure, safe
from shop.web.money import digits

# Models that are in no export, each with its reason.
LEFT_OUT = {
    "Backup": "says what lies on this machine",
    "Export": "says what was exported",
    "Rendition": "smaller pictures, made anew from the photos at any time",
    "Throttle": "counts tries at signing in for some minutes",
    "Session": "opens a door",
    "AppCode": "opens a door",
    "Passkey": "opens a door",
    "RecoveryCode": "opens a door",
    "Counter": "the last number given out; the numbers themselves stand in the papers",
}
# What opens a door, or only serves finding and taking a deed once.
_KEPT_BACK = re.compile(
    r"password|passwd|secret|(^|_)pin$|token|(^|_)key$|_folded$|credential|seed|challenge|recovery"
)
_MINOR = "_minor"


class Columns:
    """The columns of a model that are written out, and their cells."""

    def __init__(self, model: type[Model], zone: ZoneInfo, currency: str) -> None:
        self.model, self.zone, self.currency = model, zone, currency
        self.fields = [field for field in model._meta.concrete_fields if is_shown(field)]
        self.has_money = any(is_money(field) for field in self.fields)
        self.own_currency = any(field.attname == "currency" for field in self.fields)

    @property
    def names(self) -> list[str]:
        """What the columns are called."""
        named = [shown_name(field) for field in self.fields]
        return [*named, "currency"] if self._adds_currency else named

    @property
    def _adds_currency(self) -> bool:
        return self.has_money and not self.own_currency

    def values(self, row: Model) -> dict[str, Any]:
        """A row, as JSON writes it."""
        currency = getattr(row, "currency", "") or self.currency
        found = {
            shown_name(field): self._value(field, getattr(row, field.attname), currency)
            for field in self.fields
        }
        if self._adds_currency:
            found["currency"] = self.currency
        return found

    def _value(self, field: "Field[Any, Any]", value: Any, currency: str) -> Any:
        if is_money(field) and value is not None:
            return str(Decimal(value).scaleb(-digits(currency)))
        return plain(value, self.zone)


def is_shown(field: "Field[Any, Any]") -> bool:
    """Whether a column is written out: what opens a door is not."""
    return not _KEPT_BACK.search(field.attname) and not isinstance(field, FileField)


def is_money(field: "Field[Any, Any]") -> bool:
    """Whether it is a sum in minor units."""
    return field.attname.endswith(_MINOR)


def shown_name(field: "Field[Any, Any]") -> str:
    """What a column is called outside."""
    return field.attname.removesuffix(_MINOR)


def plain(value: Any, zone: ZoneInfo) -> Any:
    """A value as JSON knows it."""
    if isinstance(value, datetime):
        return value.astimezone(zone).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, UUID | Decimal):
        return str(value)
    if isinstance(value, timedelta):
        return value.total_seconds()
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(value).decode()
    return value


def cell(value: Any) -> str:
    """A value of JSON as a cell of CSV."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return Figure(str(value))
    return safe(value if isinstance(value, str) else _packed(value))


def _packed(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def cells(values: dict[str, Any], money: set[str]) -> list[str]:
    """A row of CSV; sums of money are figures of our own, so a minus stays a minus."""
    return [Figure(value or "") if name in money else cell(value) for name, value in values.items()]


def exported() -> list[type[Model]]:
    """Every model that is written out, by its name."""
    every = (model for app in APPS for model in apps.get_app_config(app).get_models())
    return sorted(
        (model for model in every if model.__name__ not in LEFT_OUT),
        key=lambda model: model.__name__,
    )


def explained(model: type[Model]) -> str:
    """What a model is, in one line."""
    return " ".join((model.__doc__ or "").split("\n\n")[0].split())


def all_rows(model: type[Model], using: str) -> Iterator[Model]:
    """Every row of a model, a thousand at a time."""
    found: Iterable[Model] = model._base_manager.using(using).order_by("pk").iterator(1000)
    return iter(found)
