"""The exact words of a quote, figures and all: what is sent, and what a yes is a yes to."""

from collections.abc import Sequence
from datetime import date

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from shop.house.states import Prices
from shop.orders.models import LineOf, Quote, QuoteKind, QuoteLine
from shop.orders.queries.figures import Figures
from shop.web.dated import dated
from shop.web.money import written


def text_of(quote: Quote, lines: Sequence[QuoteLine], sums: Figures, shop: str, day: date) -> str:
    """A quote in plain words, as it is kept once it is sent."""
    parts = [_head(quote, shop, day), *_because(quote), _lines(quote, lines, sums)]
    return "\n\n".join(part for part in [*parts, _terms(quote, sums)] if part)


def name_of(quote: Quote) -> str:
    """What a quote is called, by its order and revision."""
    words = _("Change order %s") if quote.kind == QuoteKind.CHANGE else _("Quote %s")
    return words % f"{quote.order.number}/{quote.revision}"


def span(low: int, high: int, currency: str) -> str:
    """One figure, or from the low to the high one."""
    if low == high:
        return written(high, currency)
    return _("%(low)s to %(high)s") % {
        "low": written(low, currency),
        "high": written(high, currency),
    }


def counted(line: QuoteLine) -> str:
    """How many of a line: hours with their range; empty for a single piece."""
    low, high = _number(line.low_thousandths), _number(line.quantity_thousandths)
    if line.kind == LineOf.HOURS:
        if low == high:
            return _("%s hours") % high
        return _("%(low)s to %(high)s hours") % {"low": low, "high": high}
    if low != high:
        return _("%(low)s to %(high)s") % {"low": low, "high": high}
    return "" if line.quantity_thousandths == 1000 else f"{high} ×"


def percent(hundredths: int) -> str:
    """A share in per cent, without noughts at its end."""
    shown = number_format(hundredths / 100, decimal_pos=2)
    return f"{shown.rstrip('0').rstrip('.,')} %"


def hours(minutes: int) -> str:
    """So many minutes as hours and minutes."""
    whole, rest = divmod(minutes, 60)
    if not rest:
        return _("%d h") % whole
    return _("%(h)d h %(min)d min") % {"h": whole, "min": rest} if whole else _("%d min") % rest


def _number(thousandths: int) -> str:
    shown = number_format(thousandths / 1000, decimal_pos=3)
    return shown.rstrip("0").rstrip(".,")


def _head(quote: Quote, shop: str, day: date) -> str:
    return _("%(name)s from %(shop)s, %(day)s") % {
        "name": name_of(quote),
        "shop": shop,
        "day": dated(day, "full"),
    }


def _because(quote: Quote) -> list[str]:
    if not quote.because:
        return []
    found = _("What we found, and what changes:\n%s") % quote.because
    if quote.minutes_so_far is None:
        return [found]
    return [found, _("Worked on it so far: %s.") % hours(quote.minutes_so_far)]


def _lines(quote: Quote, lines: Sequence[QuoteLine], sums: Figures) -> str:
    said = []
    for line, (low, high) in zip(lines, sums.lines, strict=True):
        how_many = counted(line)
        what = f"{line.words} ({how_many})" if how_many else line.words
        said.append(f"- {what}: {span(low, high, quote.currency)}")
    if sums.discount:
        said.append("- " + _("Discount: −%s") % written(sums.discount, quote.currency))
    return "\n".join(said)


def _terms(quote: Quote, sums: Figures) -> str:
    said = [_("Together: %s.") % span(sums.low, sums.high, quote.currency)]
    said += [
        _taxed(quote.prices)
        % {"rate": percent(each.tax_hundredths), "tax": written(each.tax, quote.currency)}
        for each in sums.by_rate
    ]
    if quote.ceiling_minor is not None:
        said.append(
            _("We never go above %s without asking you again.")
            % written(quote.ceiling_minor, quote.currency)
        )
    if quote.deposit_minor:
        said.append(
            _("To be paid before we begin: %s.") % written(quote.deposit_minor, quote.currency)
        )
    if quote.valid_until:
        said.append(_("Valid until %s.") % dated(quote.valid_until, "full"))
    return "\n".join(said)


def _taxed(prices: str) -> str:
    if prices == Prices.WITH_TAX:
        return _("In it, tax at %(rate)s: up to %(tax)s.")
    return _("With tax at %(rate)s: up to %(tax)s.")
