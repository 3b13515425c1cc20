"""The demo's buying: three suppliers, orders that came, one that is late and freed a build."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from builds.demo.days import Days, token
from builds.demo.house import Crew
from shop.history.queries import last_about
from shop.stores.actions import buying, stock
from shop.stores.actions.buying import Wanted
from shop.stores.actions.claims import move_claim, open_claim
from shop.stores.actions.deliveries import log_delivery
from shop.stores.actions.parts import change_part
from shop.stores.actions.suppliers import add_supplier
from shop.stores.models import ClaimState, Part, Purchase, PurchaseLine, Supplier
from shop.stores.queries.buying import lines_awaited

SUPPLIERS = (
    ("Saltby Components", 12, 3, "Boards, cells, small parts. Ships on Tuesdays."),
    ("Thornmere Wire and Tube", 7, 2, "Wire by the reel, blades cut to length."),
    ("Undercroft Turning", 21, 5, "Chassis to drawing. Rings back, writes never."),
)
BOARD = "Sound board 22.5 × 1.6"
PORT = "Charge port, USB-C, panel"
SPEAKER = "Speaker 24"
CELL = "Cell 18 × 65, protected"
SWITCH = "Panel switch 12"
WIRE = "Wire 22 AWG, red, soft cover"
# Part → its supplier, the supplier's number for it, and the pack it comes in.
BOUGHT: Mapping[str, tuple[str, str, int]] = {
    BOARD: ("Saltby Components", "SB-2S", 1),
    PORT: ("Saltby Components", "PC-9", 5),
    SPEAKER: ("Saltby Components", "SP-24", 5),
    CELL: ("Saltby Components", "IC-650", 4),
    SWITCH: ("Saltby Components", "SW-12", 10),
    WIRE: ("Thornmere Wire and Tube", "W22S", 10_000),
    "Pixel blade 25.4, 92 cm": ("Thornmere Wire and Tube", "PB-92", 2),
    "Blade connector, seven pins": ("Saltby Components", "BC-7", 1),
}
# How many were used, week after week, the oldest first: the shop is twelve weeks old.
USED: Mapping[str, tuple[int, ...]] = {
    SPEAKER: (1, 1, 0, 2, 1, 0, 1, 2, 0, 1, 1),
    CELL: (2, 1, 2, 3, 1, 2, 2, 1, 3, 2, 1),
    SWITCH: (2, 1, 0, 3, 2, 1, 1, 3, 0, 2, 2),
    WIRE: (3200, 4100, 0, 5600, 2800, 3100, 4000, 3700, 2500, 4400, 3000),
}
# Orders that came whole: working days ago, and so many until they came.
PAST = ((46, 8, SPEAKER, 5), (34, 10, CELL, 8), (24, 7, SWITCH, 10))


@dataclass
class Buyer:
    """Who buys and who opens parcels, in the demo's own time."""

    crew: Crew
    days: Days
    suppliers: dict[str, Supplier]

    def order(self, name: str, wanted: Mapping[str, int], ago: int, expected: int) -> Purchase:
        """An order of so many working days ago, expected so many days from today."""
        oda, now = self.crew.oda, self.days.back(ago, 17, 20)
        lines = [Wanted(part_named(what), many) for what, many in wanted.items()]
        mark = token("purchase", name, ago)
        made = buying.draft(self.suppliers[name], lines, token=mark, by=oda, now=now)
        return buying.order(
            made.pk,
            expected_on=self.days.calendar.working_day(self.days.ahead(expected)),
            supplier_ref="",
            by=oda,
            now=now + timedelta(minutes=6),
        )

    def came(self, purchase: Purchase, came: Mapping[str, int], ago: int, note: str = "") -> None:
        """A parcel that Jory opened so many working days ago."""
        lines = {purchase.lines.get(part__name=what).pk: many for what, many in came.items()}
        log_delivery(
            purchase.pk,
            lines,
            seen=purchase.deliveries.count(),
            note=note,
            token=token("delivery", purchase.number, ago),
            by=self.crew.jory,
            now=self.days.back(ago, 11, 40),
        )


def part_named(name: str) -> Part:
    """A part of the stores by its name."""
    return Part.objects.get(name=name)


def line_of(part: str) -> PurchaseLine | None:
    """The line of an open order that a hold for a part waits for; None where none is open."""
    return next((one.line for one in lines_awaited() if one.line.part.name == part), None)


def begin(crew: Crew, days: Days) -> Buyer:
    """Suppliers, what was used and bought until today, and two open orders."""
    began = days.back(57, 9, 30)
    buyer = Buyer(crew, days, {facts[0]: _supplier(crew, began, *facts) for facts in SUPPLIERS})
    for name, (whom, ref, pack) in BOUGHT.items():
        facts = {"supplier_id": buyer.suppliers[whom].pk, "supplier_ref": ref, "pack": pack}
        _buy_at(part_named(name), {**facts, "stocked": True}, crew, began)
    for name, weeks in USED.items():
        _use(part_named(name), weeks, crew, days)
    for ago, took, what, many in PAST:
        made = buyer.order("Saltby Components", {what: many}, ago, -ago)
        buyer.came(made, {what: many}, ago - took)
    buyer.order("Saltby Components", {BOARD: 2, PORT: 5}, 15, -4)
    buyer.order("Thornmere Wire and Tube", {WIRE: 20_000}, 2, 6)
    return buyer


def parcels_come(buyer: Buyer) -> None:
    """A parcel with half of an order, which frees a build; and a speaker that hums goes back."""
    half = Purchase.objects.get(lines__part__name=PORT, state="ordered")
    buyer.came(half, {PORT: 5}, 1, "Boards to follow, says the slip.")
    jory, then = buyer.crew.jory, buyer.days.back(9, 15, 10)
    claim = open_claim(
        part_named(SPEAKER), 1, supplier=buyer.suppliers["Saltby Components"],
        fault="Rattles at every tone above half volume.", serial="", about="", whose="",
        token=token("claim", SPEAKER), by=jory, now=then,
    )  # fmt: skip
    move_claim(
        claim.pk, ClaimState.SENT, seen=ClaimState.OPEN, by=jory, now=buyer.days.back(7, 16, 30),
        token=token("claim sent", SPEAKER),
    )  # fmt: skip


def _supplier(crew: Crew, now: datetime, name: str, lead: int, spread: int, note: str) -> Supplier:
    host = name.partition(" ")[0].lower()
    fields = {
        "name": name, "email": f"orders@{host}.example", "web": f"https://{host}.example/",
        "lead_days": lead, "lead_spread_days": spread, "note": note,
    }  # fmt: skip
    return add_supplier(fields, token=token("supplier", name), by=crew.oda, now=now)


def _buy_at(part: Part, facts: Mapping[str, object], crew: Crew, now: datetime) -> None:
    last = last_about(part.about)
    seen = last.pk if last else 0
    change_part(part.pk, facts, spec=part.spec, seen=seen, by=crew.oda, now=now)


def _use(part: Part, weeks: tuple[int, ...], crew: Crew, days: Days) -> None:
    """What work before these books used, from a shelf of its own that it left empty."""
    stock.receive(
        part, sum(weeks), token=token("shelf", part.name), by=crew.oda,
        now=days.back(57, 9, 40), cost_minor=part.cost_minor, reason="there as the books began",
    )  # fmt: skip
    for week, many in enumerate(weeks):
        if many:
            _fit(part, many, crew, days.back(5 * (len(weeks) - week), 12, 15))


def _fit(part: Part, many: int, crew: Crew, now: datetime) -> None:
    mark, whose = token("used", part.name, now), "work before these books"
    held = stock.reserve(part, many, about="", whose=whose, token=mark, by=crew.jory, now=now)
    stock.fit(held, token=token("fitted", part.name, now), by=crew.jory, now=now)
