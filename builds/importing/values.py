"""Cells as the rooms want them: days, sums, choices, figures. Each refusal is one sentence."""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _

from builds.importing.sheets import Value, text_of
from shop.stores.specs import Quantity, Unit, problem
from shop.stores.units import typed_figure
from shop.web.figures import pointed
from shop.web.money import digits, minor

_ERRORS = {"#REF!", "#N/A", "#VALUE!", "#DIV/0!", "#NAME?", "#NUM!", "#NULL!", "#SPILL!", "#CALC!"}
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ]0?0:00(?::00)?)?$")
_SLASHED = re.compile(r"(\d{1,2})[./-](\d{1,2})[./-](\d{4})$")
_SHORT_YEAR = re.compile(r"\d{1,2}[./-]\d{1,2}[./-]\d{2}$")
_POINT = re.compile(r"-?(?:\d{1,3}(?:[, ']\d{3})+|\d+)(?:\.\d+)?$")
_COMMA = re.compile(r"-?(?:\d{1,3}(?:[. ']\d{3})+|\d+)(?:,\d+)?$")
_WITH_UNIT = re.compile(r"(?P<number>[\d.,' -]*\d)\s*(?P<unit>[a-zA-ZΩ%\"″]+)$")
_PHONE = re.compile(r"[\d\s()+./-]+(?:(?:ext|x)\.?\s*\d+)?$", re.IGNORECASE)
_YES = {"yes", "y", "true", "1", "x"}
_NO = {"no", "n", "false", "0"}


def check_error(value: Value) -> None:
    """Refuse what a formula left behind that could not be worked out."""
    if isinstance(value, str) and value.upper() in _ERRORS:
        raise ValueError(_("The formula in this cell fails. Mend it in your own program."))


def words(value: Value, most: int, *, lines: bool) -> str:
    """Plain text of a bounded length; in one line unless it may have several."""
    text = text_of(value)
    if any(unicodedata.category(sign) == "Cc" and sign not in "\n\t" for sign in text):
        raise ValueError(_("There is an invisible sign in it. Type it anew."))
    if not lines:
        text = " ".join(text.split())
    if len(text) > most:
        raise ValueError(
            _("This is too long: at most %(most)s letters, and it has %(many)s.")
            % {"most": most, "many": len(text)}
        )
    return text


def email(value: Value) -> str:
    """An e-mail address."""
    text = words(value, 254, lines=False)
    try:
        validate_email(text)
    except ValidationError as error:
        raise ValueError(_("This is no e-mail address. Write it as name@example.com.")) from error
    return text


def phone(value: Value) -> str:
    """A telephone number: digits, and what stands between them."""
    text = words(value, 40, lines=False)
    if not _PHONE.match(text) or not any(map(str.isdigit, text)):
        raise ValueError(_("This is no telephone number. Leave words to the note."))
    return text


def day(value: Value, order: str) -> date:
    """A day: a cell with a date in it, 2026-12-14, or with slashes by the order chosen."""
    if isinstance(value, date):
        return value
    text = text_of(value)
    if isinstance(value, int | float):
        raise ValueError(
            _("This is a number, not a day. Format the cell as a date, or write 2026-12-14.")
        )
    if _SHORT_YEAR.match(text):
        raise ValueError(_("Write the year with four digits, as in 2026-12-14."))
    iso, slashed = _ISO.match(text), _SLASHED.match(text)
    try:
        if iso:
            return date(*(int(part) for part in iso.groups()))
        if slashed:
            first, second, year = (int(part) for part in slashed.groups())
            month, of_month = (second, first) if order == "dmy" else (first, second)
            return date(year, month, of_month)
    except ValueError as error:
        raise ValueError(_no_such_day(text, order, slashed is not None)) from error
    raise ValueError(_("This is no day. Write it as 2026-12-14."))


def _no_such_day(text: str, order: str, slashed: bool) -> str:
    if not slashed:
        return _("There is no such day.")
    if order == "dmy":
        return _("There is no such day, read with the day first. Is the month first here?")
    return _("There is no such day, read with the month first. Is the day first here?")


def number(value: Value, decimals: str) -> Decimal:
    """A number, by the way the sheet writes thousands and decimals."""
    if isinstance(value, bool | date):
        raise ValueError(_("This is no number."))
    if isinstance(value, int | float):
        return Decimal(f"{value:.15g}")
    text = text_of(value).replace("\u202f", " ").replace("\u2019", "'").replace("\u2212", "-")
    pattern = _POINT if decimals == "point" else _COMMA
    if not pattern.match(text):
        raise ValueError(_no_number(text, decimals))
    bare = text.replace(" ", "").replace("'", "")
    if decimals == "comma":
        return Decimal(bare.replace(".", "").replace(",", "."))
    return Decimal(bare.replace(",", ""))


def _no_number(text: str, decimals: str) -> str:
    other, pattern = ("1.234,50", _COMMA) if decimals == "point" else ("1,234.50", _POINT)
    if any(map(str.isalpha, text)):
        return _("There are letters in this number. Write the number alone.")
    if pattern.match(text):
        return _("This is written as in %s. Choose that way of writing, or change it.") % other
    return _("This is no number.")


def money(value: Value, decimals: str, currency: str) -> int:
    """A sum in minor units of the shop's currency; its sign or code may stand beside it."""
    amount = _without_currency(value, currency)
    exact = number(amount, decimals)
    if exact < 0:
        raise ValueError(_("A sum below zero cannot be brought in."))
    places = max(0, -int(exact.normalize().as_tuple().exponent))
    if places > digits(currency):
        raise ValueError(
            _("Too many decimals: %(currency)s has %(digits)s.")
            % {"currency": currency, "digits": digits(currency)}
        )
    return minor(f"{exact:f}", currency)


def _without_currency(value: Value, currency: str) -> Value:
    if not isinstance(value, str):
        return value
    text = value.replace(currency, "").strip()
    signs = {"GBP": "£", "EUR": "€", "USD": "$", "AUD": "$", "CAD": "$", "NZD": "$", "JPY": "¥"}
    text = text.replace(signs.get(currency, "\0"), "").strip()
    if any(unicodedata.category(sign) == "Sc" for sign in text):
        raise ValueError(_("This is another currency; the shop counts in %s.") % currency)
    return text


def whole(value: Value, decimals: str, most: int, least: int = 0) -> int:
    """A whole number within bounds."""
    exact = number(value, decimals)
    if exact != exact.to_integral_value():
        raise ValueError(_("This has to be a whole number."))
    if exact < least:
        raise ValueError(_("This has to be %s or more.") % least)
    if exact > most:
        raise ValueError(_("That is too many: at most %s.") % f"{most:,}")
    return int(exact)


def choice(value: Value, choices: Mapping[str, Iterable[Any]]) -> str:
    """One of some codes, said by the code or by any of its words."""
    said = _said(value)
    for code, known in choices.items():
        if said in {_said(code), *(_said(str(each)) for each in known)}:
            return code
    named = ", ".join(str(next(iter(known), code)) for code, known in choices.items())
    raise ValueError(_("This is none of: %s.") % named)


def _said(value: Value) -> str:
    return " ".join(re.sub(r"[^\w]+|_", " ", text_of(value).casefold()).split())


def country(value: Value, known: Mapping[str, str]) -> str:
    """A country's code, said by the code or by its name.

    :param known: what may be said, in small letters, and the code that it means.
    """
    code = known.get(text_of(value).casefold())
    if code is None:
        raise ValueError(_("We know no country of that name. Write its two letters, as in GB."))
    return code


def figure(
    value: Value, quantity: Quantity, *, decimals: str, length_unit: str, header_unit: str
) -> Any:
    """A figure of a part, in the unit that it is kept in.

    :param header_unit: what a bare number is, where the heading says so.
    """
    if quantity.unit == Unit.CHOICE:
        return _chosen(value, quantity)
    text = text_of(value)
    if quantity.unit != Unit.TEXT:
        text = _with_unit(value, quantity, decimals, header_unit)
    kept = typed_figure(quantity, text, length_unit)
    why = problem(quantity, kept)
    if why:
        raise ValueError(why)
    return kept


def _chosen(value: Value, quantity: Quantity) -> str:
    codes = dict(quantity.choices)
    if set(codes) == {"yes", "no"}:
        said = _said(value)
        if said in _YES | _NO:
            return "yes" if said in _YES else "no"
    return choice(value, {code: (str(label),) for code, label in codes.items()})


def _with_unit(value: Value, quantity: Quantity, decimals: str, header_unit: str) -> str:
    text = text_of(value)
    pattern = _POINT if decimals == "point" else _COMMA
    if not isinstance(value, str) or pattern.match(text):
        if quantity.unit == Unit.AWG and isinstance(value, str):
            return text  # 00 is a gauge, not a number
        exact = number(value, decimals)
        if exact < 0:
            raise ValueError(_("This cannot be below zero."))
        return pointed(f"{exact:f} {header_unit}".strip())
    said = _WITH_UNIT.match(text)
    if said and pattern.match(said["number"]):
        return pointed(f"{number(said['number'], decimals):f}") + f" {said['unit']}"
    return text
