"""Reads quotes: what is out, what was agreed, what a customer is offered."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Prefetch, QuerySet, Sum

from shop.orders.models import (
    Answer,
    AnswerKind,
    Asking,
    How,
    Order,
    Quote,
    QuoteKind,
    QuoteLine,
    QuoteState,
)
from shop.orders.queries.figures import Figures, figures
from shop.orders.queries.wording import counted, hours, name_of, percent, span
from shop.stores.kinds import FOR_PACKING, Counted
from shop.stores.models import Kit, KitHours, Part
from shop.web.money import times

RUNS_OUT_WITHIN = timedelta(days=3)
OPEN = (QuoteState.DRAFT, QuoteState.SENT)


@dataclass(frozen=True)
class ShownLine:
    """A line as it is read."""

    words: str
    how_many: str
    amount: str


@dataclass(frozen=True)
class Shown:
    """A quote as it is read, with every figure in words."""

    quote: Quote
    name: str
    lines: list[ShownLine]
    span: str
    discount: int
    taxes: list[tuple[str, int]]
    today: date

    @property
    def has_run_out(self) -> bool:
        """Whether its last day is past and nobody has answered it."""
        last = self.quote.valid_until
        return self.quote.state == QuoteState.SENT and last is not None and last < self.today

    @property
    def waits(self) -> bool:
        """Whether it can be answered."""
        return self.quote.state == QuoteState.SENT and not self.has_run_out

    @property
    def so_far(self) -> str:
        """How long was worked before it was asked; empty where nobody said."""
        minutes = self.quote.minutes_so_far
        return "" if minutes is None else hours(minutes)

    @property
    def is_change(self) -> bool:
        """Whether it changes what was agreed before."""
        return self.quote.kind == QuoteKind.CHANGE


def quotes() -> QuerySet[Quote]:
    """Quotes with their order and lines."""
    lines = Prefetch("lines", queryset=QuoteLine.objects.order_by("position", "id"))
    return Quote.objects.select_related("order__customer__account", "recorded_by").prefetch_related(
        lines
    )


def quotes_of(order: Order, today: date) -> list[Shown]:
    """Every revision of an order's quote, the newest first."""
    return [shown(quote, today) for quote in quotes().filter(order=order).order_by("-revision")]


def quotes_told(order: Order, today: date) -> list[Shown]:
    """What a customer may read: the newest that was sent, and what was agreed before it."""
    told = [each for each in quotes_of(order, today) if each.quote.sent_at]
    standing = [each for each in told if each.quote.state != QuoteState.WITHDRAWN]
    newest = standing[:1]
    if newest and newest[0].quote.state != QuoteState.ACCEPTED:
        newest += [e for e in standing[1:] if e.quote.state == QuoteState.ACCEPTED][:1]
    return newest


def shown(quote: Quote, today: date) -> Shown:
    """A quote that was read with its lines, for a page."""
    lines = list(quote.lines.all())
    sums = sums_of(quote, lines)
    return Shown(
        quote=quote,
        name=name_of(quote),
        lines=[
            ShownLine(line.words, counted(line), span(low, high, quote.currency))
            for line, (low, high) in zip(lines, sums.lines, strict=True)
        ],
        span=span(sums.low, sums.high, quote.currency),
        discount=sums.discount,
        taxes=[(percent(each.tax_hundredths), each.tax) for each in sums.by_rate],
        today=today,
    )


def sums_of(quote: Quote, lines: Iterable[QuoteLine]) -> Figures:
    """What a kept quote comes to."""
    return figures(list(lines), quote)


def agreed(order_ids: Iterable[int]) -> dict[int, Quote]:
    """Order id → the newest quote that its customer accepted: that is what is agreed."""
    found = quotes().filter(order__in=list(order_ids), state=QuoteState.ACCEPTED)
    return {quote.order_id: quote for quote in found.order_by("revision")}


def open_quotes(order_ids: Iterable[int]) -> dict[int, Quote]:
    """Order id → its quote that is being written or waits for the answer."""
    found = Quote.objects.filter(order__in=list(order_ids), state__in=OPEN)
    return {quote.order_id: quote for quote in found}


def drafts() -> QuerySet[Quote]:
    """Quotes that are being written, the oldest first."""
    found = Quote.objects.filter(state=QuoteState.DRAFT).select_related("order__customer")
    return found.order_by("made_at", "pk")


def running_out(today: date) -> QuerySet[Quote]:
    """Quotes without an answer whose last day is near or past, the first to run out first."""
    found = Quote.objects.filter(
        state=QuoteState.SENT, valid_until__lte=today + RUNS_OUT_WITHIN
    ).select_related("order__customer")
    return found.order_by("valid_until", "pk")


def unanswered(before: datetime) -> QuerySet[Quote]:
    """Quotes sent before a moment that still wait for their answer, the oldest first."""
    found = Quote.objects.filter(state=QuoteState.SENT, sent_at__lte=before)
    return found.select_related("order__customer").order_by("sent_at", "pk")


def answered_on_the_page(since: datetime) -> QuerySet[Quote]:
    """Quotes that customers answered by themselves lately, the newest first."""
    found = Quote.objects.filter(
        state__in=(QuoteState.ACCEPTED, QuoteState.DECLINED),
        answered_how=How.PAGE,
        answered_at__gte=since,
    )
    return found.select_related("order__customer").order_by("-answered_at", "-pk")


def consents_on_the_page(since: datetime) -> QuerySet[Answer]:
    """Consents that customers gave or refused on their pages lately, the newest first."""
    found = Answer.objects.filter(how=How.PAGE, at__gte=since).exclude(kind=AnswerKind.AGREED)
    return found.select_related("item__order__customer").order_by("-at", "-pk")


def askings_of(order: Order) -> list[Asking]:
    """Consents that an order's customer is asked for and has not answered."""
    found = Asking.objects.filter(item__order=order, ended_at=None)
    return list(found.select_related("item", "by").order_by("at", "pk"))


@dataclass(frozen=True)
class KitPrice:
    """What a kit comes to by its parts and hours, and which of its parts have no price."""

    minor: int
    minutes: int
    unpriced: list[str]


def part_price(part: Part, quantity: int) -> int | None:
    """What so much of a part comes to; None where it has no price. By length: so much a metre."""
    if part.price_minor is None:
        return None
    return times(part.price_minor, quantity, 1000 if part.counted == Counted.MM else 1)


def kit_price(kit: Kit, hour_minor: int) -> KitPrice:
    """What a kit comes to, at so much an hour."""
    lines = list(kit.lines.select_related("part"))
    minutes = sum(kit.hours.values_list("minutes", flat=True))
    parts = sum(part_price(line.part, line.quantity) or 0 for line in lines)
    unpriced = [line.part.name for line in lines if line.part.price_minor is None]
    return KitPrice(parts + times(hour_minor, minutes, 60), minutes, unpriced)


def kit_minutes(kit_ids: Iterable[int]) -> dict[int, int]:
    """Kit id → the minutes that it takes in all."""
    counted = KitHours.objects.filter(kit__in=list(kit_ids)).values_list("kit")
    return dict(counted.annotate(Sum("minutes")).order_by())


def kits_to_quote() -> list[Kit]:
    """Kits that can be put on a quote."""
    return list(Kit.objects.filter(retired=False).order_by("name"))


def parts_to_quote() -> list[Part]:
    """Parts with a price, which can be put on a quote."""
    found = Part.objects.filter(retired=False, price_minor__isnull=False).exclude(
        kind__in=FOR_PACKING
    )
    return list(found.order_by("kind", "name_folded", "id"))
