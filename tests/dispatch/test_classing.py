"""The class of a parcel: from what is in it to a verdict, its reasons and the ways out."""

from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.dispatch import actions as dispatch
from builds.dispatch.actions import Refused
from builds.dispatch.actions.boxes import choose_service
from builds.dispatch.actions.stowing import seen_as
from builds.dispatch.models import PackedGoods, Parcel
from builds.dispatch.queries.cells import Thing
from builds.dispatch.queries.class_section import ClassSection, class_section
from builds.dispatch.queries.classing import Classing, classings
from builds.dispatch.queries.loose import is_cell
from builds.engineering.lithium import Cells
from builds.fitting.actions.parts import fit_part, plan_own
from builds.fitting.actions.taking_off import take_off
from builds.fitting.models import BuildPart
from builds.intake.actions import account_for
from builds.models import Belonging, Build, Stowed
from builds.progress.states import Kind, State
from shop.history.models import Entry
from shop.models import Customer, User
from shop.orders.actions import add_item
from shop.orders.models import ItemKind
from shop.stores.models import Part
from tests.fitting import making
from tests.makers import (
    FRIDAY,
    RATINGS_OF,
    SPECS_OF,
    check_cell,
    make_arrival,
    make_bare_parcel,
    make_build,
    make_customer,
    make_part,
)
from tests.makers import make_service as service

pytestmark = pytest.mark.django_db
KNOWN: dict[str, Any] = {"unit": "cell", "test_summary": True}


def hilt(by: User, now: datetime, part: Part | None = None, **more: Any) -> Build:
    """A hilt in dispatch with a whole cell of the stores fitted: 3.6 V × 3.0 Ah."""
    build = make_build(by, now, State.DISPATCH, **more)
    check_cell(build, by, now)
    part = part or make_part(by, now, 9, kind="cell")
    planned = making.plan(build, part, by, now)
    fit_part(planned, token=uuid4(), by=by, now=now)
    return build


def packed(
    builds: list[Build], by: User, now: datetime, mode: str = "adr-road", **facts: Any
) -> Parcel:
    """A parcel of those hilts by a service, nothing said of their cells yet."""
    parcel = make_bare_parcel(builds, by, now)
    facts = {"service": service(mode), "gross_g": 1_000, **facts}
    Parcel.objects.filter(pk=parcel.pk).update(**facts)
    parcel.refresh_from_db()
    return parcel


def say(parcel: Parcel, build: Build, by: User, now: datetime, **values: Any) -> Stowed:
    """Say where the cell of a hilt is."""
    seen = seen_as(parcel.stowed.filter(build=build).first())
    facts = {"stowage": "installed", "terminals": "holder", **KNOWN, **values}
    return dispatch.stow(parcel.pk, f"build-{build.pk}", facts, seen=seen, by=by, now=now)


def section(parcel: Parcel, on: date = FRIDAY) -> ClassSection:
    """The class as the page shows it."""
    parcel.refresh_from_db()
    return class_section(parcel, on)


def by_air(by: User, now: datetime, **values: Any) -> tuple[Parcel, Build]:
    """A hilt by air with its cell beside it."""
    build = hilt(by, now)
    parcel = packed([build], by, now, "air")
    say(parcel, build, by, now, **{"stowage": "packed-with", "terminals": "caps", **values})
    return parcel, build


def only(classing: Classing) -> Cells:
    """The one item that it holds."""
    (item,) = classing.contents.parcel.items
    return item


def thing(classing: Classing) -> Thing:
    """The one thing of it."""
    (found,) = classing.contents.things
    return found


def test_cell_in_its_hilt_may_go_by_road(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    shown = section(parcel)
    assert shown.classing.head == "May go by road"
    assert shown.result
    assert (shown.result.un, shown.result.rule, shown.result.mark) == ("UN3481", "SP 188", "none")
    assert only(shown.classing).watt_hours == pytest.approx(10.8)
    assert shown.ways_out == []


def test_nothing_is_guessed_of_a_cell_that_nobody_spoke_of(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    shown = section(parcel)
    assert shown.classing.state == "missing"
    assert f"Say where the cell of {build.hilt} is" in shown.classing.why_not[0]
    say(parcel, build, owner, now, unit="", test_summary=None)
    assert section(parcel).classing.why_not == [
        "Missing: whether it is a cell, a battery or a button cell.",
        "Missing: the UN 38.3 test summary.",
    ]


def test_typical_figure_is_no_word_of_a_cell(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    Part.objects.update(is_typical=True)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    assert section(parcel).classing.why_not == [
        "Missing: what is in the cell (ion, metal, none).",
        "Missing: the watt-hours of each.",
    ]
    say(parcel, build, owner, now, watt_hours=10.8, chemistry="ion")
    assert section(parcel).classing.may_go


def test_of_two_capacities_the_higher_counts(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 9, kind="cell")
    facts = {"quantity": "capacity_mah", "by": owner, "at": now}
    part.ratings.create(value=6_000, source="its wrap", **facts)
    build = hilt(owner, now, part)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    assert only(section(parcel).classing).watt_hours == pytest.approx(21.6)
    assert section(parcel).classing.state == "refused"


def test_several_in_a_row_show_in_the_voltage(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 9, kind="cell")
    part.spec["nominal_mv"] = 7_200.0
    part.save()
    build = hilt(owner, now, part)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    assert only(section(parcel).classing).unit == "battery"


def test_without_a_service_nothing_is_classed(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now, service=None)
    say(parcel, build, owner, now)
    assert "Choose the service first" in section(parcel).classing.in_words


def test_blade_alone_has_no_cell_to_ask_about(owner: User, now: datetime) -> None:
    blade = make_build(owner, now, State.DISPATCH, kind=Kind.BLADE)
    parcel = packed([blade], owner, now, service=None)
    assert section(parcel).classing.head == "No lithium in it: it may go"


def test_cell_that_must_stay_is_refused_and_leaving_without_it_comes_first(
    owner: User, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    check_cell(build, owner, now + timedelta(minutes=1), "aside")
    shown = section(parcel)
    assert shown.classing.state == "refused"
    assert [way.deed for way in shown.ways_out] == ["Leaves without a cell"]
    dispatch.mend(parcel.pk, shown.ways_out[0], by=owner, now=now)
    assert section(parcel).classing.state == "nothing"


def test_charge_over_the_limit_by_air_offers_what_would_mend_it(owner: User, now: datetime) -> None:
    parcel, build = by_air(owner, now, charge_percent=60)
    service("adr-road", name="By van")
    shown = section(parcel)
    assert shown.classing.head == "Refused by air"
    assert shown.classing.why_not == ["A charge of 60 % is above 30 %."]
    assert [way.deed for way in shown.ways_out] == [
        "Leaves without a cell", "The cell is in the hilt", "It is at 30 % or less",
        "Choose By van",
    ]  # fmt: skip
    for way in shown.ways_out:
        sid = parcel.service_id
        say(parcel, build, owner, now, stowage="packed-with", terminals="caps", charge_percent=60)
        Parcel.objects.filter(pk=parcel.pk).update(service=sid)
        dispatch.mend(parcel.pk, way, by=owner, now=now)
        assert section(parcel).classing.may_go, way.name
        Parcel.objects.filter(pk=parcel.pk).update(service=shown.classing.service)


def test_charge_is_asked_where_the_rule_wants_it(owner: User, now: datetime) -> None:
    parcel, _build = by_air(owner, now)
    assert section(parcel).classing.why_not == ["Missing: the charge of the cells in percent."]


def test_no_way_out_is_offered_where_there_is_none(owner: User, now: datetime) -> None:
    blade = make_build(owner, now, State.DISPATCH, kind=Kind.BLADE)
    part = make_part(owner, now, 9, kind="cell")
    parcel = packed([blade], owner, now, "usps-abroad")
    build_part = making.plan(blade, part, owner, now)
    fit_part(build_part, token=uuid4(), by=owner, now=now)
    check_cell(blade, owner, now, "aside")
    say(parcel, blade, owner, now)
    shown = section(parcel)
    assert shown.classing.state == "refused"
    assert [way.code for way in shown.ways_out] == [f"without-build-{blade.pk}"]


def spare(
    parcel: Parcel, build: Build, by: User, now: datetime, part: Part | None, n: int
) -> PackedGoods:
    """Spare cells, or goods of no stores, in a parcel."""
    item = add_item(build.item.order, ItemKind.GOODS, "spare cells", by, now, quantity=n)
    item.part = part
    item.save()
    return parcel.goods.create(item=item)


def test_spare_cells_of_the_hilt_are_packed_with_it(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 9, kind="cell")
    build = hilt(owner, now, part)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    spare(parcel, build, owner, now, part, 2)
    _hilt, goods = section(parcel).classing.contents.things
    assert (goods.stowage, goods.items[0].needed) == ("packed-with", 0)
    assert "how its ends are safe" in section(parcel).classing.in_words
    values = {"stowage": "packed-with", "terminals": "caps", **KNOWN}
    dispatch.stow(parcel.pk, goods.key, values, seen="", by=owner, now=now)
    shown = section(parcel)
    assert shown.classing.may_go
    assert shown.wants_mark


def test_spare_cells_that_nothing_in_it_runs_on_are_loose(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    spare(parcel, build, owner, now, make_part(owner, now, 9, kind="cell"), 2)
    assert section(parcel).classing.contents.things[1].stowage == "loose"


def test_spare_cells_are_never_more_than_needed_and_two_by_air(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 9, kind="cell")
    build = hilt(owner, now, part)
    parcel = packed([build], owner, now, "air")
    say(parcel, build, owner, now)
    goods = spare(parcel, build, owner, now, part, 3)
    values = {"stowage": "packed-with", "terminals": "caps", "charge_percent": 20, **KNOWN}
    dispatch.stow(parcel.pk, f"goods-{goods.pk}", values, seen="", by=owner, now=now)
    shown = section(parcel)
    assert "3 cells are packed, and 2 may be" in shown.classing.in_words
    way = next(way for way in shown.ways_out if way.deed == "Take it out")
    dispatch.mend(parcel.pk, way, by=owner, now=now)
    assert section(parcel).classing.may_go


def test_goods_of_no_stores_may_hold_a_cell_until_somebody_says_no(
    owner: User, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    goods = spare(parcel, build, owner, now, None, 1)
    assert not section(parcel).classing.may_go
    facts = {"seen": "", "by": owner, "now": now}
    dispatch.stow(parcel.pk, f"goods-{goods.pk}", {"stowage": "left-out"}, **facts)
    assert section(parcel).classing.may_go


def three(owner: User, now: datetime, whose: list[Customer]) -> list[Parcel]:
    """Three parcels of a day."""
    made = []
    for customer in whose:
        build = hilt(owner, now, customer=customer)
        made.append(packed([build], owner, now, "us-ground"))
        say(made[-1], build, owner, now)
    return made


def test_three_packages_to_one_consignee_bear_the_mark(owner: User, now: datetime) -> None:
    one = make_customer(now)
    assert [section(each).wants_mark for each in three(owner, now, [one] * 3)] == [True] * 3


def test_packages_to_others_on_other_days_or_opened_do_not_count(
    owner: User, now: datetime
) -> None:
    one, other = make_customer(now), make_customer(now, "Ash")
    first, second, _others, later, opened = three(owner, now, [one, one, other, one, one])
    Parcel.objects.filter(pk=later.pk).update(day=FRIDAY + timedelta(days=3))
    Parcel.objects.filter(pk=opened.pk).update(opened_at=now)
    assert section(first).classing.contents.packages == 2
    assert not section(second).wants_mark


def test_another_address_is_another_consignee(owner: User, now: datetime) -> None:
    one = make_customer(now)
    first, second, _third = three(owner, now, [one] * 3)
    order = second.packed.get().build.item.order
    order.ship_name, order.ship_address = "Ash Reed", "2 Example Lane"
    order.save()
    assert section(first).classing.contents.packages == 2
    assert section(second).classing.contents.packages == 1


def test_what_weighs_less_than_its_cells_is_weighed_again(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 9, kind="cell")
    part.spec["mass_g"] = 48.0
    part.save()
    build = hilt(owner, now, part)
    parcel = packed([build], owner, now, gross_g=40)
    say(parcel, build, owner, now)
    assert "Weigh it again" in section(parcel).classing.in_words


def test_the_same_answer_twice_is_one_deed(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    for _twice in range(2):
        say(parcel, build, owner, now)
    assert Entry.objects.filter(verb="cell_stowed").count() == 1


def test_other_tablet_is_told_who_was_first(owner: User, bench_hand: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, bench_hand, now)
    with pytest.raises(Refused, match="Jory said otherwise"):
        dispatch.stow(
            parcel.pk, f"build-{build.pk}", {"stowage": "left-out"}, seen="", by=owner, now=now
        )


def test_what_left_or_was_opened_is_not_changed(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    dispatch.mark_left(parcel.pk, owner, now)
    with pytest.raises(Refused, match="has left"):
        say(parcel, build, owner, now)
    other = packed([], owner, now)
    dispatch.open_parcel(other.pk, owner, now)
    with pytest.raises(Refused, match="opened again"):
        choose_service(other.pk, service(), by=owner, now=now)


def test_what_was_said_is_kept_as_it_left_and_freed_with_the_undo(
    owner: User, now: datetime
) -> None:
    parcel, build = by_air(owner, now, charge_percent=25)
    order = build.item.order
    order.customer.address = "1 Example Row\nNorthwick"
    order.customer.save()
    left = dispatch.mark_left(parcel.pk, owner, now)
    left.refresh_from_db()
    assert left.classed
    assert left.classed["verdict"] == "May go by air"
    assert (left.classed["un"], left.classed["rule"]) == ("UN3481", "PI 966 II")
    assert (left.classed["mark"], left.classed["checked_on"]) == ("required", "2026-11-01")
    assert left.classed["cells"][0]["charge"] == 25
    assert ["air-charge-percent", "IATA PI 966, from 2026-01-01", "2026, 2nd"] in left.classed[
        "editions"
    ]
    assert left.sent_to.splitlines() == ["Wren Aldous", "1 Example Row", "Northwick"]
    dispatch.mark_not_left(parcel.pk, owner, now)
    left.refresh_from_db()
    assert (left.classed, left.sent_to) == (None, "")


def rule(parcel: Parcel, by: User, now: datetime, **more: Any) -> Any:
    """A carrier's rule about the charge."""
    facts: dict[str, Any] = {
        "code": "air-charged", "words": "Up to 40 % on our aircraft.", "source": "letter",
        "written_on": date(2026, 11, 2), "valid_until": None, "token": uuid4(), **more,
    }  # fmt: skip
    assert parcel.service
    return dispatch.keep_rule(parcel.service, by=by, now=now, **facts)


def test_carriers_own_rule_answers_its_reason_while_it_holds(owner: User, now: datetime) -> None:
    parcel, _build = by_air(owner, now, charge_percent=35)
    kept = rule(parcel, owner, now, valid_until=FRIDAY)
    shown = section(parcel)
    assert shown.classing.head == "Allowed by the carrier’s own rule of 2 November 2026"
    assert shown.classing.may_go
    assert section(parcel, FRIDAY + timedelta(days=1)).classing.state == "refused"
    assert section(parcel, date(2026, 11, 1)).classing.state == "refused"
    frozen = dispatch.mark_left(parcel.pk, owner, now).classed or {}
    assert frozen["carrier_rules"][0]["words"] == "Up to 40 % on our aircraft."
    dispatch.mark_not_left(parcel.pk, owner, now)
    dispatch.withdraw_rule(kept.pk, by=owner, now=now)
    assert section(parcel).classing.state == "refused"


def test_carriers_rule_of_another_reason_or_service_answers_nothing(
    owner: User, now: datetime
) -> None:
    parcel, _build = by_air(owner, now, charge_percent=35)
    rule(parcel, owner, now, code="air-heavy")
    rule(packed([], owner, now, "air"), owner, now)
    assert section(parcel).classing.state == "refused"


@pytest.mark.parametrize("code", ["damaged", "damaged-road", "missing-charge", "whatever"])
def test_no_carriers_word_answers_a_damaged_cell_or_what_is_missing(
    code: str, owner: User, now: datetime
) -> None:
    parcel = packed([], owner, now, "air")
    with pytest.raises(Refused, match="No carrier’s word"):
        rule(parcel, owner, now, code=code)


def test_only_the_owner_keeps_a_carriers_rule(bench_hand: User, now: datetime) -> None:
    with pytest.raises(Refused, match="Only the owner"):
        rule(packed([], bench_hand, now, "air"), bench_hand, now)


def test_damaged_cell_stays_refused_whatever_the_carrier_wrote(owner: User, now: datetime) -> None:
    parcel, build = by_air(owner, now, charge_percent=35)
    rule(parcel, owner, now)
    check_cell(build, owner, now + timedelta(minutes=1), "aside")
    assert section(parcel).classing.state == "refused"


def test_hilts_that_are_too_many_together_may_go_one_by_one(owner: User, now: datetime) -> None:
    customer = make_customer(now)
    pair = [hilt(owner, now, customer=customer) for _ in range(2)]
    parcel = packed(pair, owner, now, "usps-domestic-surface")
    for build in pair:
        build.parts.update(quantity=5)
        say(parcel, build, owner, now)
    codes = [way.code for way in section(parcel).ways_out]
    both = "-".join(f"build-{build.pk}" for build in pair)
    each = [f"without-build-{build.pk}" for build in pair]
    assert codes == [f"without-{both}", *each, "apart"]


def test_many_parcels_are_classed_in_as_many_queries_as_one(owner: User, now: datetime) -> None:
    made = [by_air(owner, now, charge_percent=20)[0] for _ in range(4)]
    days = {parcel.pk: FRIDAY for parcel in made}
    took = []
    for some in (made[:1], made):
        with CaptureQueriesContext(connection) as asked:
            assert all(each.may_go for each in classings(some, days).values())
        took.append(len(asked))
    assert took[0] == took[1]


# What nobody classed, and what is true no more


def belonging(build: Build, what: str, by: User, now: datetime) -> Belonging:
    """Something that came with a hilt and goes back."""
    return Belonging.objects.create(arrival=make_arrival(by, now), build=build, what=what)


def test_loose_cell_that_goes_back_to_its_owner_keeps_the_parcel_here(
    owner: User, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    kept = belonging(build, "loose cell", owner, now)
    belonging(build, "charger for two cells", owner, now)
    shown = section(parcel).classing
    assert shown.state == "missing"
    assert shown.why_not == [
        "“loose cell” goes back beside the hilt, and nobody can class it. Say that it stays."
    ]
    account_for(kept, kept_because="theirs to recycle", by=owner, now=now)
    assert section(parcel).classing.may_go


@pytest.mark.parametrize(
    ("what", "is_one"),
    [
        ("loose cell", True), ("2 x 18650", True), ("spare battery", True), ("power bank", True),
        ("battery holder", False), ("stand", False), ("screws", False), ("cell charger", False),
    ],
)  # fmt: skip
def test_belonging_is_a_cell_by_its_name(what: str, is_one: bool) -> None:
    assert is_cell(what) is is_one


def test_customers_own_cell_that_was_not_fitted_goes_loose(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    theirs = belonging(build, "the old one", owner, now)
    spec = {**SPECS_OF["cell"], **RATINGS_OF["cell"]}
    plan_own(build, theirs, "cell", spec, section=None, token=uuid4(), by=owner, now=now)
    assert "the old one" in section(parcel).classing.in_words


def test_another_cell_in_the_hilt_is_spoken_of_anew(owner: User, now: datetime) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now)
    assert section(parcel).classing.may_go
    later = now + timedelta(hours=1)
    (old,) = BuildPart.objects.filter(build=build)
    take_off(old, "another was wanted", token=uuid4(), by=owner, now=later)
    other = making.plan(build, make_part(owner, now, 9, kind="cell"), owner, later)
    fit_part(other, token=uuid4(), by=owner, now=later)
    shown = section(parcel).classing
    assert not shown.may_go
    assert f"Cells came in or out of {build.hilt} since" in shown.in_words
    say(parcel, build, owner, later)  # the very same, of the other cell
    assert section(parcel).classing.may_go


def test_cell_taken_out_after_the_hilt_was_to_leave_without_is_as_said(
    owner: User, now: datetime
) -> None:
    build = hilt(owner, now)
    parcel = packed([build], owner, now)
    say(parcel, build, owner, now, stowage="left-out", terminals="")
    (old,) = BuildPart.objects.filter(build=build)
    take_off(old, "stays", token=uuid4(), by=owner, now=now + timedelta(hours=1))
    assert section(parcel).classing.state == "nothing"


def test_cells_on_two_lines_of_an_order_are_not_needed_twice(owner: User, now: datetime) -> None:
    part = make_part(owner, now, 9, kind="cell")
    build = hilt(owner, now, part)
    parcel = packed([build], owner, now, "air")
    say(parcel, build, owner, now, stowage="left-out", terminals="")
    values = {"stowage": "packed-with", "terminals": "caps", "charge_percent": 20, **KNOWN}
    for _ in range(2):
        goods = spare(parcel, build, owner, now, part, 2)
        dispatch.stow(parcel.pk, f"goods-{goods.pk}", values, seen="", by=owner, now=now)
    assert "4 cells are packed, and 3 may be" in section(parcel).classing.in_words
