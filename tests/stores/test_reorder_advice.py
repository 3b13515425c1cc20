"""What to order: from what a week takes, from how long it takes to come, from what builds plan."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.bench.queries.reorder import Line
from shop.house.models import House
from shop.models import User
from shop.stores.actions import stock
from shop.stores.models import Part, Supplier
from shop.stores.queries.history import leads, usage
from shop.stores.queries.reordering import Need, needs
from tests.makers import make_part
from tests.stores.orders import deliver, make_draft, make_ordered, make_supplier

pytestmark = pytest.mark.django_db
WEEK = timedelta(days=7)


@pytest.fixture
def supplier(owner: User, now: datetime) -> Supplier:
    return make_supplier(owner, now, lead_days=14, lead_spread_days=0)


@pytest.fixture
def part(owner: User, now: datetime, supplier: Supplier) -> Part:
    """Ten weeks old, 40 came, 2 are used each week: 20 are left."""
    made = make_part(owner, now - 10 * WEEK, 40, name="speaker, 28 mm")
    Part.objects.filter(pk=made.pk).update(supplier=supplier)
    made.refresh_from_db()
    for week in range(10):
        use(made, 2, owner, now - week * WEEK - timedelta(days=1))
    return made


def use(part: Part, many: int, by: User, at: datetime) -> None:
    held = stock.reserve(part, many, about="", whose="w", token=uuid4(), by=by, now=at)
    stock.fit(held, token=uuid4(), by=by, now=at)


def need(part: Part, now: datetime, planned: int = 0) -> Need:
    found = needs(House.objects.get(), now, {part.pk: planned} if planned else {})
    return next(one for one in found if one.part == part)


def test_use_of_a_week_is_learned_from_what_was_fitted(part: Part, now: datetime) -> None:
    found = usage([part], now)[part.pk]
    assert (found.weeks, found.mean, found.sd) == (10, 2, 0)


def test_what_came_out_again_was_not_used(part: Part, owner: User, now: datetime) -> None:
    stock.put_back(part, 1, about="", whose="w", token=uuid4(), by=owner, now=now, reason="whole")
    assert usage([part], now)[part.pk].mean == pytest.approx(1.9)


def test_what_was_written_off_was_not_used(part: Part, owner: User, now: datetime) -> None:
    stock.write_off(part, 5, reason="dropped", token=uuid4(), by=owner, now=now)
    assert usage([part], now)[part.pk].mean == 2


def test_young_ledger_says_nothing_of_a_usual_week(
    supplier: Supplier, owner: User, now: datetime
) -> None:
    part = make_part(owner, now - 7 * WEEK, 10)
    use(part, 2, owner, now)
    found = need(part, now)
    assert (found.usage.mean, found.point, found.order) == (None, None, 0)
    assert "No past use known yet; ordered is what builds lack." in found.because


def test_enough_is_not_ordered_and_says_why(part: Part, now: datetime) -> None:
    found = need(part, now)
    assert found.point
    assert (found.point.point, found.order) == (4, 0)
    assert "A week takes 2, give or take 0 (the last 10 weeks)." in found.because
    assert "That leaves 20; at 4 it is time to order." in found.because


def test_at_the_point_it_is_ordered_in_whole_packs(part: Part, owner: User, now: datetime) -> None:
    Part.objects.filter(pk=part.pk).update(pack=5)
    stock.write_off(part, 16, reason="flood", token=uuid4(), by=owner, now=now)
    assert need(part, now).order == 5  # from 4 to 8, in packs of 5


def test_what_is_on_its_way_or_drafted_counts(
    part: Part, supplier: Supplier, owner: User, now: datetime
) -> None:
    stock.write_off(part, 16, reason="flood", token=uuid4(), by=owner, now=now)
    make_ordered(owner, now, (part, 3), supplier=supplier)
    make_draft(owner, now, (part, 1), supplier=supplier)
    found = need(part, now)
    assert (found.ordered, found.drafted, found.order) == (3, 1, 0)


def test_what_builds_plan_is_as_good_as_gone(part: Part, now: datetime) -> None:
    found = need(part, now, planned=17)
    assert (found.position, found.order) == (3, 5)  # from 3 to 8
    assert "17 planned for builds" in found.because


def test_without_history_only_what_builds_lack_is_ordered(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 2)
    assert need(part, now, planned=2).order == 0
    found = need(part, now, planned=5)
    assert (found.short, found.order) == (3, 3)
    assert "Open builds lack 3." in found.because


def test_part_that_nobody_sells_says_so(part: Part, now: datetime) -> None:
    Part.objects.filter(pk=part.pk).update(supplier=None)
    assert "No supplier is named" in need(part, now).because


def test_lead_is_the_shops_own_figure_until_three_deliveries_came(
    supplier: Supplier, owner: User, now: datetime
) -> None:
    part = make_part(owner, now)
    for days in (8, 10, 12):
        assert leads([supplier])[supplier.pk].learned_from == 0
        made = make_ordered(owner, now, (part, 1), supplier=supplier)
        deliver(made, owner, now + timedelta(days=days), (part, 1))
    found = leads([supplier])[supplier.pk]
    assert (found.days, found.spread_days, found.learned_from) == (10, 2, 3)


def test_lead_is_learned_from_the_newest_dozen_and_no_more_is_read(
    supplier: Supplier, owner: User, now: datetime
) -> None:
    part, other = make_part(owner, now), make_supplier(owner, now)
    for nth in range(15):
        for whose, days in ((supplier, 10 if nth < 3 else 20), (other, 5)):
            ordered = now + nth * WEEK
            made = make_ordered(owner, ordered, (part, 1), supplier=whose)
            deliver(made, owner, ordered + timedelta(days=days), (part, 1))
    with CaptureQueriesContext(connection) as asked:
        found = leads([supplier, other])
    assert (found[supplier.pk].days, found[supplier.pk].learned_from) == (20, 12)
    assert (found[other.pk].days, found[other.pk].learned_from) == (5, 12)
    (query,) = asked.captured_queries
    with connection.cursor() as rows:
        rows.execute(query["sql"])
        assert len(rows.fetchall()) == 24


def test_more_safety_never_orders_later(part: Part, owner: User, now: datetime) -> None:
    use(part, 7, owner, now)  # so that weeks differ
    points = []
    for percent in (60, 80, 95, 99):
        House.objects.update(service_percent=percent)
        found = need(part, now).point
        assert found
        points.append(found.point)
    assert points == sorted(points)
    assert len(set(points)) == 4


def test_part_not_kept_in_stock_is_not_advised_unless_planned(
    part: Part, owner: User, now: datetime
) -> None:
    Part.objects.filter(pk=part.pk).update(stocked=False)
    assert part not in [one.part for one in needs(House.objects.get(), now, {})]
    assert need(part, now, planned=1).part == part


def test_sums_of_what_goes_by_length_are_in_metres(part: Part, now: datetime) -> None:
    Part.objects.filter(pk=part.pk).update(counted="mm", pack=1000)
    found = need(Part.objects.get(pk=part.pk), now)
    said = dict(Line(found, ()).sums)
    assert said["d, s: use of a week and its spread"] == "0.00, 0.00\u202fm"
    assert said["In packs of"] == "1\u202fm"
