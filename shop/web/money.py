"""Money: whole minor units inside, as the shop's currency writes it outside (ISO 4217)."""

import re
from copy import copy
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from babel import Locale
from django import forms
from django.utils.translation import get_language, to_locale
from django.utils.translation import gettext as _
from iso4217 import Currency

MOST_MINOR = 2_000_000_000  # what a column of the database takes
_SAID = re.compile(r"^\d{1,12}(?:[.,]\d+)?$")
_THOUSANDS = re.compile(r"^\d{1,3}([.,])\d{3}$")


def digits(currency: str) -> int:
    """How many digits a currency has after its point: 2 for most, 0 or 3 for some.

    By ISO 4217; Babel's figures are those of daily use, which leave coins out that books keep.

    :raises ValueError: where it is no currency with coins.
    """
    known = Currency.__members__.get(currency)
    if known is None or known.exponent is None:
        raise ValueError(_("%s is no currency that a shop can be paid in.") % currency)
    return int(known.exponent)


def minor(text: str, currency: str) -> int:
    """A sum as typed, in minor units: "12", "12.50", "12,5".

    :raises ValueError: with a sentence, where it is no sum of this currency.
    """
    bare = re.sub(r"[^\d.,-]", "", text.strip())
    if not _SAID.match(bare):
        raise ValueError(_("Write a sum such as %s.") % _plain(1250, currency))
    _ask_no_thousands(bare, currency)
    value = Decimal(bare.replace(",", ".")).scaleb(digits(currency))
    if value != value.to_integral_value():
        raise ValueError(
            _("%(currency)s has no smaller coin than %(least)s.")
            % {"currency": currency, "least": _plain(1, currency)}
        )
    if value > MOST_MINOR:
        raise ValueError(_("That sum is too large. Look at the point in it."))
    return int(value)


def _ask_no_thousands(bare: str, currency: str) -> None:
    # "1,150" may be a thousand and more: nobody is to be paid a thousandth of what was meant.
    # With a point, what ends in a coin too small is told as that.
    found = _THOUSANDS.match(bare)
    if found and (found[1] == "," or (digits(currency) < 3 and bare.endswith("0"))):
        whole = bare.replace(found[1], "")
        raise ValueError(_("Leave the sign out of thousands: write %s.") % whole)


def typed(amount: int | None, currency: str) -> str:
    """A sum as it stands in a field; empty for none."""
    return "" if amount is None else _plain(amount, currency)


def written(amount: int | None, currency: str) -> str:
    """A sum as the reader's language writes it, with its currency; empty for none."""
    if amount is None:
        return ""
    locale = Locale.parse(to_locale(get_language() or "en"))
    pattern = copy(locale.currency_formats["standard"])
    pattern.frac_prec = (digits(currency), digits(currency))
    value = _value(amount, currency)
    text = str(pattern.apply(value, locale, currency=currency, currency_digits=False))
    # A currency without a sign of its own is named by its code, which stands apart (CLDR).
    return re.sub(r"(?<=[A-Za-z])(?=\d)", "\u00a0", text)


def times(amount: int, count: int, per: int = 1) -> int:
    """So many at so much each, or at so much for ``per`` of them; half a coin is rounded up."""
    exact = Decimal(amount) * count / per
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def _value(amount: int, currency: str) -> Decimal:
    return Decimal(amount).scaleb(-digits(currency))


def _plain(amount: int, currency: str) -> str:
    return f"{_value(amount, currency):.{digits(currency)}f}"


class MoneyField(forms.CharField):
    """Cleans to whole minor units of a currency, None where it stays empty."""

    def __init__(self, *, currency: str, **kwargs: Any) -> None:
        self.currency = currency
        kwargs.setdefault("required", False)
        kwargs.setdefault(
            "widget", forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})
        )
        super().__init__(**kwargs)

    def prepare_value(self, value: Any) -> Any:
        """What stands in the field: a kept sum as one types it, what was typed as it is."""
        return typed(value, self.currency) if isinstance(value, int) else value

    def clean(self, value: Any) -> Any:
        """The sum in minor units."""
        text = super().clean(value)
        if not text:
            return None
        try:
            return minor(text, self.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from error
