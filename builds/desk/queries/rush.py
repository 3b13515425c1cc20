"""Reads for a rush fee: what it comes to, and whether an order asks to be taken out of turn."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from builds.desk.queries.orders import Sheet
from builds.progress.models import Build
from builds.progress.states import Kind
from builds.queue.queries.outlooks import outlooks, speaks
from builds.queue.queries.serving import Said, Serving, serving_of_order
from shop.diary.queries import calendar
from shop.house.models import House
from shop.orders.actions import LineFacts
from shop.orders.models import Item, LineOf, Quote, QuoteLine
from shop.orders.queries import kit_minutes, percent, rate_of, rush_by_rule
from shop.web.dated import dated
from shop.web.money import times, written

Priced = QuoteLine | LineFacts  # kept, or typed and not kept yet


@dataclass(frozen=True)
class Rush:
    """Whether an order is needed sooner than its turn comes, and what the shop asks for that."""

    said: Said | None  # by which day it must leave
    turn: date | None  # the day by which it likely leaves in its turn; None: not known
    is_late: bool  # its turn comes too late
    is_on: bool  # the quote has the fee already
    rule: str  # what the shop asks; empty: nothing
    now: str  # what that comes to; empty where nothing is worked yet
    kind: str  # of the job, for what it takes if it goes first
    build: int | None = None  # the number of what is booked, to be moved up the line

    @property
    def is_offered(self) -> bool:
        """Whether the fee can be put on."""
        return bool(self.rule) and not self.is_on


def rush_of(
    quote: Quote, lines: Sequence[Priced], sheet: Sheet, shop: House, now: datetime
) -> Rush:
    """What a draft's page says of being taken out of turn."""
    diary, still = calendar(shop), _open(sheet)
    serving = serving_of_order(sheet.order, still, diary)
    turn = _turn(still, now)
    return Rush(
        said=serving.said(diary.first_day(now)) if serving else None,
        turn=turn,
        is_late=bool(serving and turn and serving.is_missed_by(turn)),
        is_on=any(line.kind == LineOf.RUSH for line in lines),
        rule=_rule(shop),
        now=written(rush_fee(quote, lines, shop) or None, quote.currency),
        kind=still[0].kind if still else Kind.FULL,
        build=still[0].number if still else None,
    )


def rush_fee(quote: Quote, lines: Sequence[Priced], shop: House) -> int:
    """What the shop's rule comes to: from the hours of a quote, and those in its kits."""
    hours = [line for line in lines if line.kind == LineOf.HOURS]
    work = sum(times(line.each_minor, line.quantity_thousandths, 1000) for line in hours)
    rate = rate_of(getattr(quote.order.customer, "account", None), shop)
    kits = [(kit, line) for line in lines if (kit := _kit_of(line))]
    minutes = kit_minutes(kit for kit, _line in kits)
    for kit, line in kits:
        work += times(times(rate, minutes.get(kit, 0), 60), line.quantity_thousandths, 1000)
    return rush_by_rule(work, shop)


def _kit_of(line: Priced) -> int | None:
    if isinstance(line, QuoteLine):
        return line.kit_id
    return line.kit.pk if line.kit else None


def rush_line(
    quote: Quote, lines: Sequence[Priced], sheet: Sheet, shop: House, item: Item | None
) -> LineFacts | None:
    """The fee as a line; None where the shop asks none, or the quote has it."""
    fee = rush_fee(quote, lines, shop)
    if not fee or any(line.kind == LineOf.RUSH for line in lines):
        return None
    serving = serving_of_order(sheet.order, _open(sheet), calendar(shop))
    return LineFacts(LineOf.RUSH, _words(serving), 1000, 1000, fee, shop.tax_hundredths, item=item)


def _words(serving: Serving | None) -> str:
    if serving is None or serving.last is None:
        return _("Rush: taken out of turn")
    day = dated(serving.last, "in year")
    words = _("Rush, to be ready by %s") if serving.is_collected else _("Rush, to leave by %s")
    return words % day


def _open(sheet: Sheet) -> list[Build]:
    return [line.build for line in sheet.lines if line.build and line.build.is_open]


def _turn(builds: Sequence[Build], now: datetime) -> date | None:
    """The day by which all of them leave, eight times in ten, as the newest forecast has it.

    None where it may not say odds: too few were finished of a kind, or the run is old.
    """
    seen = outlooks(build.pk for build in builds)
    found = {pk: outlook for pk, outlook in seen.items() if speaks(outlook, now)}
    days = [found[build.pk].day_80 for build in builds if build.pk in found]
    if not days or len(days) < len(builds) or None in days:
        return None
    return max(day for day in days if day)


def _rule(shop: House) -> str:
    """The shop's rule in words; empty where it has none."""
    share, least = percent(shop.rush_hundredths), written(shop.rush_least_minor, shop.currency)
    if not shop.rush_hundredths:
        return least if shop.rush_least_minor else ""
    if not shop.rush_least_minor:
        return _("%s of the hours") % share
    return _("%(share)s of the hours, %(least)s at least") % {"share": share, "least": least}
