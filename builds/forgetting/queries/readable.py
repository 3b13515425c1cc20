"""A row as its customer reads it: words, days, sums and choices, and no inner number."""

from collections.abc import Iterator
from datetime import date, datetime
from typing import Any

from django.conf import settings
from django.db.models import Model
from django.utils.encoding import force_str
from django.utils.translation import gettext as _

from builds.forgetting.words import COLUMNS, FOR_PROGRAMS, SAID_BY_NAME, UNITS
from shop.house.models import House
from shop.house.world import countries
from shop.keeping.plain import is_money, shown_name
from shop.post.wording import with_link
from shop.web.dated import dated
from shop.web.figures import pointed
from shop.web.money import written

_MILLIVOLTS = 1000
_LANGUAGES = dict(settings.LANGUAGES)
_COUNTRY = ("country", "ship_country", "origin")


def fields_read(fields: list[Any]) -> list[Any]:
    """Of the columns of a table those that a person reads."""
    return [
        field
        for field in fields
        if field.attname not in FOR_PROGRAMS
        and f"{field.model.__name__}.{field.attname}" not in FOR_PROGRAMS
        and (not field.is_relation or field.name in SAID_BY_NAME)
    ]


def word_of(field: Any) -> str:
    """What a column is called."""
    name = shown_name(field) if is_money(field) else field.name
    found = COLUMNS.get(f"{field.model.__name__}.{name}") or COLUMNS.get(name)
    return force_str(found or field.verbose_name)


def is_worded(field: Any) -> bool:
    """Whether a column has words that were written for people."""
    name = shown_name(field) if is_money(field) else field.name
    return (
        f"{field.model.__name__}.{name}" in COLUMNS
        or name in COLUMNS
        or not isinstance(field.verbose_name, str)
    )


def to_read(row: Model, fields: list[Any], shop: House) -> list[tuple[str, str]]:
    """The cells of a row that say anything, each with its word."""
    said = ((word_of(field), _said(row, field, shop)) for field in fields_read(fields))
    return [(word, value) for word, value in said if value]


def links_of(fields: list[Any]) -> Iterator[str]:
    """The links that are said by the name of their other end, to be read along."""
    return (field.name for field in fields_read(fields) if field.is_relation)


def _said(row: Model, field: Any, shop: House) -> str:
    value = getattr(row, field.name)
    if value is None or value == "":
        return ""
    if field.is_relation:
        return str(value)
    if field.choices:
        return force_str(getattr(row, f"get_{field.name}_display")())
    if is_money(field):
        return written(value, getattr(row, "currency", "") or shop.currency)
    if field.name == "number":
        return str(row)  # as it is printed, with its noughts
    return _plain(field.attname, value, shop)


def _plain(name: str, value: Any, shop: House) -> str:
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime):
        return dated(value.astimezone(shop.zone), "full moment")
    if isinstance(value, date):
        return dated(value, "full")
    if name in _COUNTRY:
        return str(dict(countries()).get(value, value))
    if name == "language":
        return str(_LANGUAGES.get(value, value))
    if isinstance(value, int | float):
        return _figure(name, value)
    if name == "as_typed":
        return pointed(value)
    if name == "body":
        return with_link(value, None)  # the link itself opens a page, and may be another's by now
    return str(value)


def _figure(name: str, value: float) -> str:
    if name == "millivolts":
        return f"{pointed(f'{value / _MILLIVOLTS:.2f}')}\u202fV"
    if name == "odds":
        return f"{value * 100:.0f}\u202f%"
    unit = next((unit for end, unit in UNITS.items() if name.endswith(end)), "")
    figure = pointed(f"{value:g}" if isinstance(value, float) else str(value))
    return f"{figure}\u202f{unit}" if unit else figure
