"""A shop whose buying grows: orders in every state, claims, holds that wait for parts."""

from datetime import date, datetime, timedelta
from uuid import uuid4

from builds.progress.actions import hold
from shop.models import User
from shop.stores.actions import buying
from shop.stores.actions.claims import move_claim, open_claim
from shop.stores.models import Claim, Part, Purchase, Supplier
from tests.makers import make_build, make_part
from tests.stores.orders import deliver, line_of, make_draft, make_ordered, make_supplier

LATE = date(2026, 11, 20)


class Bought:
    """One of everything, for pages to be looked at; and more of it."""

    def __init__(self, by: User, now: datetime) -> None:
        self.by, self.now = by, now
        self.part = make_part(by, now, 4)
        self.supplier = make_supplier(by, now)
        Part.objects.filter(pk=self.part.pk).update(supplier=self.supplier)
        self.purchase = self._late(self.part, self.supplier)
        self.claim = self._claim(self.part, self.supplier, now - timedelta(days=9))

    def grow(self, times: int) -> None:
        """So many times one more of everything, some of it of the same supplier."""
        for _ in range(times):
            part, supplier = make_part(self.by, self.now, 3), make_supplier(self.by, self.now)
            Part.objects.filter(pk=part.pk).update(supplier=supplier)
            self._late(part, self.supplier)
            self._late(part, supplier)
            self._freed(part, supplier)
            make_draft(self.by, self.now, (part, 4), supplier=supplier)
            self._claim(part, self.supplier, self.now - timedelta(days=9))
            settled = self._claim(part, supplier, self.now)
            move_claim(settled.pk, "replaced", seen="open", by=self.by, now=self.now, token=uuid4())

    def _late(self, part: Part, supplier: Supplier) -> Purchase:
        made = make_ordered(self.by, self.now, (part, 5), supplier=supplier, expected_on=LATE)
        deliver(made, self.by, self.now, (part, 2))
        self._hold(made, part)
        return made

    def _freed(self, part: Part, supplier: Supplier) -> None:
        made = make_ordered(self.by, self.now, (part, 1), supplier=supplier)
        self._hold(made, part)
        deliver(made, self.by, self.now, (part, 1))
        cancelled = make_draft(self.by, self.now, (part, 1), supplier=supplier)
        buying.cancel(cancelled.pk, by=self.by, now=self.now)

    def _hold(self, purchase: Purchase, part: Part) -> None:
        build = make_build(self.by, self.now)
        hold(build.pk, fields=waits_for(purchase, part, self.now), by=self.by, now=self.now)

    def _claim(self, part: Part, supplier: Supplier, at: datetime) -> Claim:
        return open_claim(
            part, 1, supplier=supplier, fault="hums", serial="", about="", whose="",
            token=uuid4(), by=self.by, now=at,
        )  # fmt: skip


def waits_for(purchase: Purchase, part: Part, now: datetime) -> dict[str, object]:
    """The fields of a hold that waits for a line."""
    return {
        "reason": "parts", "turn": "supplier", "words": part.name, "before": "",
        "chase_on": (now + timedelta(days=5)).date(), "line": line_of(purchase, part),
    }  # fmt: skip
