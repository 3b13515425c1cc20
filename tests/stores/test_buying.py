"""Suppliers and purchase orders: drafted once, numbered without gaps, ordered, given up."""

from datetime import date, datetime, timedelta
from uuid import uuid4

import pytest

from shop.history.models import Entry
from shop.models import User
from shop.stores.actions import Refused, buying
from shop.stores.actions.buying import Wanted
from shop.stores.actions.suppliers import (
    add_supplier,
    bring_supplier_back,
    change_supplier,
    retire_supplier,
)
from shop.stores.models import Part, Purchase, PurchaseState, Supplier
from shop.stores.queries.buying import late_purchases, on_its_way, stands
from tests.makers import make_part
from tests.stores.orders import deliver, line_of, make_draft, make_ordered, make_supplier

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture
def part(owner: User, now: datetime) -> Part:
    return make_part(owner, now, name="speaker, 28 mm")


def test_supplier_written_down_twice_is_one(owner: User, now: datetime) -> None:
    token, fields = uuid4(), {"name": "Fenwick Electronics", "lead_days": 9}
    for _ in range(2):
        add_supplier(fields, token=token, by=owner, now=now)
    assert Supplier.objects.get().lead_days == 9
    assert Entry.objects.filter(verb="supplier_added").count() == 1


def test_two_suppliers_of_one_name_are_refused(owner: User, now: datetime) -> None:
    make_supplier(owner, now, "Fenwick Electronics")
    with pytest.raises(Refused, match="of that name already"):
        make_supplier(owner, now, "fenwick electronics")


def test_supplier_keeps_its_own_name(owner: User, now: datetime) -> None:
    supplier = make_supplier(owner, now, "Fenwick Electronics")
    fields = {"name": "Fenwick Electronics", "lead_days": 21}
    assert change_supplier(supplier.pk, fields, by=owner, now=now).lead_days == 21


def test_supplier_with_an_open_order_is_not_retired(part: Part, owner: User, now: datetime) -> None:
    made = make_draft(owner, now, (part, 1))
    with pytest.raises(Refused, match=f"{made} is still open"):
        retire_supplier(made.supplier_id, by=owner, now=now)
    buying.cancel(made.pk, by=owner, now=now)
    assert retire_supplier(made.supplier_id, by=owner, now=now).retired
    assert not bring_supplier_back(made.supplier_id, by=owner, now=now).retired


def test_numbers_have_no_gaps_and_name_the_year(part: Part, owner: User, now: datetime) -> None:
    numbers = [make_draft(owner, now, (part, 1)).number for _ in range(3)]
    assert numbers == ["PO-2026-001", "PO-2026-002", "PO-2026-003"]
    later = make_draft(owner, now.replace(year=2027), (part, 1))
    assert later.number == "PO-2027-001"


def test_draft_that_was_refused_leaves_no_gap(part: Part, owner: User, now: datetime) -> None:
    Part.objects.filter(pk=part.pk).update(retired=True)
    part.refresh_from_db()
    with pytest.raises(Refused, match="not used any more"):
        make_draft(owner, now, (part, 1))
    other = make_part(owner, now)
    assert make_draft(owner, now, (other, 1)).number == "PO-2026-001"


def test_double_tap_drafts_once(part: Part, owner: User, now: datetime) -> None:
    supplier, token = make_supplier(owner, now), uuid4()
    wanted = [Wanted(part, 4)]
    first = buying.draft(supplier, wanted, token=token, by=owner, now=now)
    again = buying.draft(supplier, wanted, token=token, by=owner, now=now)
    assert first == again
    assert line_of(first, part).quantity == 4


def test_second_draft_with_a_supplier_goes_on_the_first(
    part: Part, owner: User, now: datetime
) -> None:
    supplier, other = make_supplier(owner, now), make_part(owner, now)
    first = make_draft(owner, now, (part, 4), supplier=supplier)
    second = make_draft(owner, now, (part, 2), (other, 1), supplier=supplier)
    assert first == second
    assert line_of(first, part).quantity == 6
    assert first.lines.count() == 2


def test_quantity_is_rounded_up_to_whole_packs(part: Part, owner: User, now: datetime) -> None:
    Part.objects.filter(pk=part.pk).update(pack=5)
    part.refresh_from_db()
    made = make_draft(owner, now, (part, 11))
    assert line_of(made, part).quantity == 15


def test_cost_that_nobody_types_is_the_parts_own(part: Part, owner: User, now: datetime) -> None:
    Part.objects.filter(pk=part.pk).update(cost_minor=410)
    part.refresh_from_db()
    made = make_draft(owner, now, (make_part(owner, now), 1))
    assert buying.put_line(made.pk, part, 2, None, by=owner, now=now).cost_minor == 410
    assert stands([made], TODAY)[0].cost_minor == 1250 + 2 * 410


def test_wire_is_paid_by_the_metre(owner: User, now: datetime) -> None:
    wire = make_part(owner, now, kind="wire")
    Part.objects.filter(pk=wire.pk).update(counted="mm")
    wire.refresh_from_db()
    made = make_draft(owner, now)
    buying.put_line(made.pk, wire, 2400, 120, by=owner, now=now)
    assert stands([made], TODAY)[0].cost_minor == 288


def test_empty_draft_is_not_ordered(owner: User, now: datetime) -> None:
    made = make_draft(owner, now)
    with pytest.raises(Refused, match="nothing on it yet"):
        buying.order(made.pk, expected_on=None, supplier_ref="", by=owner, now=now)


def test_expected_day_follows_from_the_suppliers_days_and_is_a_working_day(
    part: Part, owner: User, now: datetime
) -> None:
    supplier = make_supplier(owner, now, lead_days=10)  # Saturday 5 December
    made = make_draft(owner, now, (part, 1), supplier=supplier)
    ordered = buying.order(made.pk, expected_on=None, supplier_ref="", by=owner, now=now)
    assert ordered.expected_on == date(2026, 12, 7)


def test_ordered_twice_is_ordered_once(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 1))
    later = now + timedelta(hours=1)
    again = buying.order(made.pk, expected_on=None, supplier_ref="", by=owner, now=later)
    assert again.ordered_at == now
    assert Entry.objects.filter(verb="purchase_ordered").count() == 1


def test_what_is_ordered_takes_no_more_lines(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 1))
    with pytest.raises(Refused, match="not a draft any more"):
        buying.put_line(made.pk, make_part(owner, now), 1, None, by=owner, now=now)


def test_cancelled_order_keeps_its_number(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 1))
    for _ in range(2):
        assert buying.cancel(made.pk, by=owner, now=now).state == PurchaseState.CANCELLED
    assert make_draft(owner, now, (part, 1)).number == "PO-2026-002"
    assert on_its_way() == {part.pk: (0, 1)}


def test_order_of_which_some_came_is_closed_not_cancelled(
    part: Part, owner: User, now: datetime
) -> None:
    made = make_ordered(owner, now, (part, 5))
    deliver(made, owner, now, (part, 2))
    with pytest.raises(Refused, match="Close it instead"):
        buying.cancel(made.pk, by=owner, now=now)
    closed = buying.close(made.pk, by=owner, now=now)
    assert closed.state == PurchaseState.CLOSED
    assert line_of(made, part).dropped_at == now
    assert on_its_way() == {}


def test_draft_is_not_closed(part: Part, owner: User, now: datetime) -> None:
    with pytest.raises(Refused, match="never ordered"):
        buying.close(make_draft(owner, now, (part, 1)).pk, by=owner, now=now)


def test_last_missing_line_given_up_closes_the_order(
    part: Part, owner: User, now: datetime
) -> None:
    other = make_part(owner, now)
    made = make_ordered(owner, now, (part, 1), (other, 1))
    deliver(made, owner, now, (part, 1))
    with pytest.raises(Refused, match="All of it has come"):
        buying.drop_line(made.pk, line_of(made, part).pk, by=owner, now=now)
    buying.drop_line(made.pk, line_of(made, other).pk, by=owner, now=now)
    assert Purchase.objects.get(pk=made.pk).state == PurchaseState.CLOSED


def test_line_taken_off_a_draft_is_gone(part: Part, owner: User, now: datetime) -> None:
    made = make_draft(owner, now, (part, 1))
    buying.drop_line(made.pk, line_of(made, part).pk, by=owner, now=now)
    assert not made.lines.exists()


@pytest.mark.parametrize(("expected", "late"), [(24, 1), (25, 0), (26, 0), (16, 9)])
def test_order_is_late_from_the_day_after(
    part: Part, owner: User, now: datetime, expected: int, late: int
) -> None:
    day = date(2026, 11, expected)
    make_ordered(owner, now, (part, 5), expected_on=day)
    assert [stand.late_days for stand in late_purchases(TODAY)] == ([late] if late else [])


def test_order_that_came_whole_is_not_late(part: Part, owner: User, now: datetime) -> None:
    made = make_ordered(owner, now, (part, 5), expected_on=date(2026, 11, 16))
    deliver(made, owner, now, (part, 5))
    assert late_purchases(TODAY) == []


def test_pack_that_makes_the_order_absurd_is_refused(
    part: Part, owner: User, now: datetime
) -> None:
    made = make_draft(owner, now)
    Part.objects.filter(pk=part.pk).update(pack=6_000_000)
    part.refresh_from_db()
    buying.put_line(made.pk, part, 1, None, by=owner, now=now)
    with pytest.raises(Refused, match="from 1 to 10 million"):
        buying.put_line(made.pk, part, 6_000_001, None, by=owner, now=now)
    assert line_of(made, part).quantity == 6_000_000


def test_line_taken_off_twice_is_taken_off_once(part: Part, owner: User, now: datetime) -> None:
    made = make_draft(owner, now, (part, 1))
    line = line_of(made, part)
    for _ in range(2):
        buying.drop_line(made.pk, line.pk, by=owner, now=now)
    assert Entry.objects.filter(about=made.about, verb="purchase_line_dropped").count() == 1


def test_line_that_another_tablet_took_off_stays_off_as_the_rest_is_saved(
    part: Part, owner: User, now: datetime
) -> None:
    other = make_part(owner, now)
    made = make_draft(owner, now, (part, 1), (other, 1))
    shown = stands([made], TODAY)[0].lines
    buying.drop_line(made.pk, line_of(made, part).pk, by=owner, now=now)
    buying.save_lines(made.pk, [(one, 4, 100) for one in shown], by=owner, now=now)
    assert [(line.part, line.quantity) for line in made.lines.all()] == [(other, 4)]
