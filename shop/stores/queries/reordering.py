"""What to buy again, how many, and why: advice for every part that is kept in stock."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.house.models import House
from shop.stores.models import Part, StockLevel, Supplier
from shop.stores.queries.buying import on_its_way, per_of
from shop.stores.queries.history import Lead, Usage, leads, usage
from shop.stores.queries.levels import amount
from shop.stores.reorder import Advice, Point, advise, point

DAYS = 7  # in a week


@dataclass(frozen=True)
class Need:
    """One part: what there is, what is asked for, and what follows."""

    part: Part
    on_hand: int
    reserved: int
    ordered: int
    drafted: int
    planned: int  # for open builds, and not set aside yet
    usage: Usage
    lead: Lead | None
    service: float
    point: Point | None
    order: int

    @property
    def position(self) -> int:
        """What will be left once all that is known of has come and gone."""
        return self.on_hand - self.reserved + self.ordered + self.drafted - self.planned

    @property
    def short(self) -> int:
        """How many of what open builds plan are neither here and free nor on their way."""
        return max(0, -self.position)

    @property
    def has_history(self) -> bool:
        """Whether the ledger is old enough to say what a week takes."""
        return self.usage.mean is not None

    @property
    def because(self) -> str:
        """Why so many, or why none, in sentences."""
        return " ".join(filter(None, [self._use(), self._wait(), self._stock(), self._so()]))

    def _use(self) -> str:
        if self.usage.mean is None:
            return _("No past use known yet; ordered is what builds lack.")
        if not self.usage.mean:
            return _("Nothing was used in the last %d weeks.") % self.usage.weeks
        return _("A week takes %(mean)s, give or take %(sd)s (the last %(weeks)d weeks).") % {
            "mean": self.in_words(self.usage.mean),
            "sd": self.in_words(self.usage.sd or 0),
            "weeks": self.usage.weeks,
        }

    def _wait(self) -> str:
        if not self.usage.mean:
            return ""  # without use there is no wait to bridge
        if self.lead is None:
            return _("No supplier is named, so nobody knows how long it takes to come.")
        source = (
            ngettext("learned from %d delivery", "learned from %d deliveries", n) % n
            if (n := self.lead.learned_from)
            else _("your own figure")
        )
        return _("%(who)s takes %(days)s days, give or take %(spread)s (%(source)s).") % {
            "who": self.part.supplier,
            "days": plain(self.lead.days),
            "spread": plain(self.lead.spread_days),
            "source": source,
        }

    def _stock(self) -> str:
        known = {
            _("%s free"): self.on_hand - self.reserved,
            _("%s on order"): self.ordered,
            _("%s in a draft"): self.drafted,
            _("%s planned for builds"): self.planned,
        }
        said = [words % amount(self.part, n) for words, n in known.items() if n]
        return f"{', '.join(said)}." if said else _("None is free, and none is on order.")

    def _so(self) -> str:
        if self.point and self.point.point:
            return self._so_by_the_point(self.point)
        if self.order:
            return _("Open builds lack %s.") % amount(self.part, self.short)
        return ""

    def _so_by_the_point(self, found: Point) -> str:
        known = {"left": self.in_words(self.position), "point": self.in_words(found.point)}
        if self.order:
            return _("That leaves %(left)s, and at %(point)s it is time to order.") % known
        return _("That leaves %(left)s; at %(point)s it is time to order.") % known

    def in_words(self, value: float) -> str:
        """So many of the part, fractions and all: 2.1, or 1.25 m."""
        return plain(self.in_unit(value), 2 if self.unit else 1) + self.unit

    def in_unit(self, value: float) -> float:
        """So many of the part, or so many metres of it."""
        return value / per_of(self.part)

    @property
    def unit(self) -> str:
        """The unit that stands behind a figure: none for what is counted in pieces."""
        return "\u202fm" if self.part.counted == "mm" else ""


def plain(value: float, places: int = 1) -> str:
    """A number without noise behind its point, a minus made a minus."""
    rounded = round(value, places)
    whole = float(rounded).is_integer()
    kept = int(rounded) if whole else rounded
    return str(number_format(kept, decimal_pos=0 if whole else places)).replace("-", "\u2212")


def needs(shop: House, now: datetime, planned: Mapping[int, int]) -> list[Need]:
    """Every part kept in stock, those to order first, in a constant number of queries.

    :param planned: part id → how many open builds plan and have not set aside.
    """
    parts = list(_stocked(planned))
    levels = {level.part_id: level for level in StockLevel.objects.filter(part__in=parts)}
    used, way = usage(parts, now), on_its_way()
    waits = leads(_suppliers(parts))
    service = shop.service_percent / 100
    found = [
        _need(
            part,
            levels.get(part.pk) or StockLevel(part=part),
            way.get(part.pk, (0, 0)),
            planned.get(part.pk, 0),
            used[part.pk],
            waits.get(part.supplier_id) if part.supplier_id else None,
            service,
        )
        for part in parts
    ]
    return sorted(found, key=lambda need: (not need.order, not need.short))


def _stocked(planned: Mapping[int, int]) -> Iterable[Part]:
    """Parts kept in stock, and those that a build plans though they are not."""
    used = Part.objects.filter(retired=False).select_related("supplier")
    return (part for part in used if part.stocked or part.pk in planned)


def _suppliers(parts: Sequence[Part]) -> list[Supplier]:
    return list({part.supplier.pk: part.supplier for part in parts if part.supplier}.values())


def _need(
    part: Part,
    level: StockLevel,
    way: tuple[int, int],
    planned: int,
    used: Usage,
    lead: Lead | None,
    service: float,
) -> Need:
    at = _point(used, lead, service)
    ordered, drafted = way
    return Need(
        part=part,
        on_hand=level.on_hand,
        reserved=level.reserved,
        ordered=ordered,
        drafted=drafted,
        planned=planned,
        usage=used,
        lead=lead,
        service=service,
        point=at,
        order=_order(part, level, ordered + drafted, planned, at),
    )


def _point(used: Usage, lead: Lead | None, service: float) -> Point | None:
    if used.mean is None or lead is None:
        return None
    return point(used.mean, used.sd or 0, lead.days / DAYS, lead.spread_days / DAYS, service)


def _order(part: Part, level: StockLevel, coming: int, planned: int, at: Point | None) -> int:
    """How many to order: up to the point and one wait more, or just what open builds lack."""
    if at is None or not at.point:
        lacks = planned - (level.free + coming)
        return -(-lacks // part.pack) * part.pack if lacks > 0 else 0
    found: Advice = advise(
        level.on_hand,
        level.reserved,
        coming,
        # What builds plan is as good as gone: the point and the level stand so much higher.
        at.point + planned,
        part.pack,
        at.point + planned + at.demand_over_lead,
    )
    return found.order
