"""What the reorder page shows: advice for each part, and the builds that want it."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from builds.dispatch.queries.contents import goods_waiting
from builds.fitting.queries.wanting import Wanting, wanting
from shop.house.models import House
from shop.orders.models import Item
from shop.stores.models import Supplier
from shop.stores.queries.levels import amount
from shop.stores.queries.reordering import Need, needs
from shop.web.figures import pointed

SHOWN = 60  # parts of which there is enough; more would hide what is to order


@dataclass(frozen=True)
class Line:
    """One part with its advice, in finished data for a template."""

    need: Need
    wanted_by: Sequence[tuple[str, str, str]]  # build's number, hilt's name, how many
    sold_on: Sequence[tuple[str, str]] = ()  # order's number, how many

    @property
    def order(self) -> str:
        """How many to order."""
        return amount(self.need.part, self.need.order)

    @property
    def short(self) -> str:
        """How many open builds lack; empty for none."""
        return amount(self.need.part, self.need.short) if self.need.short else ""

    @property
    def free(self) -> str:
        """How many lie free."""
        return amount(self.need.part, self.need.on_hand - self.need.reserved)

    @property
    def ask(self) -> str:
        """What a draft made from this advice asks for, as its form carries it."""
        return f"{self.need.part.pk}:{self.need.order}"

    @property
    def sums(self) -> list[tuple[str, str]]:
        """The formula with its figures, line by line; empty where there is no point."""
        need, at = self.need, self.need.point
        if at is None or need.lead is None or need.usage.mean is None:
            return []
        weeks, spread = need.lead.days / 7, need.lead.spread_days / 7
        mean, sd = need.in_unit(need.usage.mean), need.in_unit(need.usage.sd or 0)
        safety = "z × √(L × s² + d² × sL²) = " + pointed(
            f"{at.z:.3f} × √({weeks:.2f} × {sd:.2f}² + {mean:.2f}² × {spread:.2f}²)"
        )
        both = f"{pointed(f'{mean:.2f}')}, {pointed(f'{sd:.2f}')}{need.unit}"
        wait = f"{pointed(f'{weeks:.2f}')}, {pointed(f'{spread:.2f}')}"
        up_to = need.planned + at.point + at.demand_over_lead
        return [
            (_("d, s: use of a week and its spread"), both),
            (_("L, sL: weeks until it comes and their spread"), wait),
            (_("z: for %d waits in 100") % round(need.service * 100), pointed(f"{at.z:.3f}")),
            (_("Safety stock"), f"{safety} = {need.in_words(at.safety)}"),
            (_("Order at"), f"d × L + {_('safety')} = {need.in_words(at.point)}"),
            (_("Fill up to: one wait more, and what builds plan"), need.in_words(up_to)),
            (_("In packs of"), amount(need.part, need.part.pack)),
        ]


@dataclass(frozen=True)
class Group:
    """What to order from one supplier; from nobody where none is named."""

    supplier: Supplier | None
    lines: Sequence[Line]


@dataclass(frozen=True)
class Advised:
    """What to order, one group a supplier; the other parts with why they are not ordered.

    ``unknown``: how many kept parts have never been here and that nobody plans: nothing to say.
    """

    groups: Sequence[Group]
    enough: Sequence[Line]
    unknown: int


def advice(shop: House, now: datetime) -> Advised:
    """The advice of this moment, in a constant number of queries."""
    wanted = wanting()
    sold = goods_waiting()
    planned = Counter({part: sum(one.quantity for one in some) for part, some in wanted.items()})
    for part, items in sold.items():
        planned[part] += sum(item.quantity for item in items)
    lines = [Line(need, _by(need, wanted), _sold(need, sold)) for need in needs(shop, now, planned)]
    groups: dict[int, list[Line]] = {}
    for line in lines:
        if line.need.order:
            groups.setdefault(line.need.part.supplier_id or 0, []).append(line)
    to_order = [Group(some[0].need.part.supplier, some) for some in groups.values()]
    to_order.sort(key=lambda group: (group.supplier is None, str(group.supplier)))
    rest = [line for line in lines if not line.need.order]
    known = [line for line in rest if _is_known(line.need)]
    return Advised(to_order, known[:SHOWN], len(rest) - len(known[:SHOWN]))


def _is_known(need: Need) -> bool:
    """Whether there is anything to say of a part: it was here, or is wanted."""
    return bool(need.on_hand or need.ordered or need.drafted or need.planned or need.usage.mean)


def _sold(need: Need, sold: Mapping[int, Sequence[Item]]) -> list[tuple[str, str]]:
    return [
        (item.order.number, amount(need.part, item.quantity)) for item in sold.get(need.part.pk, ())
    ]


def _by(need: Need, wanted: Mapping[int, Sequence[Wanting]]) -> list[tuple[str, str, str]]:
    return [
        (
            str(one.build),
            one.build.hilt.name if one.build.hilt else _("blade only"),
            amount(need.part, one.quantity),
        )
        for one in wanted.get(need.part.pk, ())
    ]
