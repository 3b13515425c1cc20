"""Parts of a build: planned, reserved, fitted, taken off; with the stores' ledger beside them."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.fitting.actions import Overtaken, Refused
from builds.fitting.actions.kits import plan_kit
from builds.fitting.actions.parts import (
    fit_part,
    place,
    plan_own,
    plan_part,
    reserve_part,
    swap,
)
from builds.fitting.actions.plan import choose_chassis
from builds.fitting.actions.taking_off import take_off
from builds.fitting.models import BuildPart
from builds.fitting.states import PartState
from builds.models import Belonging, Build
from builds.progress.states import State
from shop.history.queries import entries_about
from shop.models import Part, User
from shop.stores.actions import Short
from shop.stores.actions.stock import release
from shop.stores.models import Deed, Kit, StockRow
from tests.hilts.shapes import make_sections
from tests.makers import RATINGS_OF, SPECS_OF, check_cell, make_arrival, make_build, make_part

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(owner: User, now: datetime) -> Build:
    return make_build(owner, now, State.INSTALL)


@pytest.fixture
def speaker(owner: User, now: datetime) -> Part:
    return make_part(owner, now, 2, name="speaker, 28 mm")


def plan(build: Build, part: Part, by: User, now: datetime, quantity: int = 1) -> BuildPart:
    return plan_part(build, part, quantity, section=None, token=uuid4(), by=by, now=now)


def stock(part: Part) -> tuple[int, int]:
    part.level.refresh_from_db()
    return part.level.on_hand, part.level.reserved


def state(found: BuildPart) -> str:
    return BuildPart.objects.select_related("reservation").get(pk=found.pk).state


def test_part_goes_from_plan_to_hilt(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    found = plan(build, speaker, owner, now)
    assert (state(found), stock(speaker)) == (PartState.PLANNED, (2, 0))
    reserve_part(found, token=uuid4(), by=owner, now=now)
    assert (state(found), stock(speaker)) == (PartState.RESERVED, (2, 1))
    fit_part(found, serial=" SB-0042 ", token=uuid4(), by=owner, now=now)
    assert (state(found), stock(speaker)) == (PartState.FITTED, (1, 0))
    assert [line.text for line in entries_about(build.about)[:3]] == [
        "Fitted: speaker, 28 mm: serial number SB-0042",
        "Reserved: speaker, 28 mm",
        "On the parts list: 1 × speaker, 28 mm",
    ]


def test_part_that_nobody_reserved_is_fitted_at_one_tap(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    found = plan(build, speaker, owner, now, quantity=2)
    fit_part(found, token=uuid4(), by=owner, now=now)
    assert stock(speaker) == (0, 0)


def test_double_taps_are_one_deed(build: Build, speaker: Part, owner: User, now: datetime) -> None:
    token = uuid4()
    for _tap in range(2):
        found = plan_part(build, speaker, 1, section=None, token=token, by=owner, now=now)
    for _tap in range(2):
        reserve_part(found, token=token, by=owner, now=now)
    for _tap in range(2):
        fit_part(found, serial="7", token=token, by=owner, now=now)
    assert BuildPart.objects.count() == 1
    assert stock(speaker) == (1, 0)
    for _tap in range(2):
        take_off(found, "wrong one", token=token, by=owner, now=now)
    assert stock(speaker) == (2, 0)


def test_second_tablet_is_told_who_fitted_it(
    build: Build, speaker: Part, owner: User, bench_hand: User, now: datetime
) -> None:
    found = plan(build, speaker, owner, now)
    fit_part(found, serial="12", token=uuid4(), by=bench_hand, now=now)
    with pytest.raises(Overtaken, match="Jory fitted speaker, 28 mm first"):
        fit_part(found, serial="13", token=uuid4(), by=owner, now=now)
    assert stock(speaker) == (1, 0)


def test_short_stores_are_told_plainly(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    found = plan(build, speaker, owner, now, quantity=3)
    with pytest.raises(Short, match="speaker, 28 mm: 3 wanted, 2 free"):
        reserve_part(found, token=uuid4(), by=owner, now=now)
    with pytest.raises(Short):
        fit_part(found, token=uuid4(), by=owner, now=now)
    assert (state(found), stock(speaker)) == (PartState.PLANNED, (2, 0))


def test_what_is_taken_off_is_free_again(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    found = plan(build, speaker, owner, now)
    reserve_part(found, token=uuid4(), by=owner, now=now)
    take_off(found, "", token=uuid4(), by=owner, now=now)
    assert stock(speaker) == (2, 0)
    with pytest.raises(Overtaken, match="off the list"):
        fit_part(found, token=uuid4(), by=owner, now=now)


def test_what_comes_out_of_the_hilt_wants_a_reason(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    found = plan(build, speaker, owner, now, quantity=2)
    fit_part(found, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="why"):
        take_off(found, " ", token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="No more than 2"):
        take_off(found, "rattles", whole=3, token=uuid4(), by=owner, now=now)
    take_off(found, "one rattles", whole=1, token=uuid4(), by=owner, now=now)
    assert stock(speaker) == (1, 0)
    assert StockRow.objects.get(deed=Deed.RETURNED).reason == "one rattles"


def test_swapped_part_leaves_its_place_to_the_other(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    other = make_part(owner, now, 4, name="speaker, 24 mm")
    (emitter, *_others) = make_sections(build.hilt, owner, now)
    found, lid = plan(build, speaker, owner, now), plan(build, other, owner, now)
    place(found, emitter, 7, None, by=owner, now=now)
    place(lid, emitter, 8, found, by=owner, now=now)
    reserve_part(found, token=uuid4(), by=owner, now=now)
    token = uuid4()
    for _tap in range(2):
        new = swap(found, other, token=token, by=owner, now=now)
    new.refresh_from_db()
    lid.refresh_from_db()
    assert (new.part, new.section, new.position) == (other, emitter, 7)
    assert lid.lies_on == new
    assert stock(speaker) == (2, 0)


def test_swap_is_for_what_is_not_fitted_and_for_the_same_kind(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    screw = make_part(owner, now, 4, kind="cell")
    found = plan(build, speaker, owner, now)
    with pytest.raises(Refused, match="same kind"):
        swap(found, screw, token=uuid4(), by=owner, now=now)
    fit_part(found, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="is fitted"):
        swap(found, speaker, token=uuid4(), by=owner, now=now)


def test_nothing_lies_on_itself_however_long_the_way_round(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    one, two = plan(build, speaker, owner, now), plan(build, speaker, owner, now)
    place(one, None, 1, two, by=owner, now=now)
    two.refresh_from_db()
    one.refresh_from_db()
    with pytest.raises(Refused, match="cannot lie"):
        place(two, None, 2, one, by=owner, now=now)


def test_section_of_another_hilt_is_refused(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    other = make_build(owner, now, State.INSTALL)
    (emitter, *_others) = make_sections(other.hilt, owner, now)
    with pytest.raises(Refused, match="no section of this hilt"):
        plan_part(build, speaker, 1, section=emitter, token=uuid4(), by=owner, now=now)


@pytest.fixture
def old_speaker(build: Build, owner: User, now: datetime) -> Belonging:
    return make_arrival(owner, now).belongings.create(build=build, what="old speaker")


SPEAKER = {"diameter_mm": 28, "depth_mm": 6, "ohm": 4, "power_mw": 3000}


def test_customers_own_part_is_fitted_without_the_stores(
    build: Build, old_speaker: Belonging, owner: User, now: datetime
) -> None:
    found = plan_own(
        build, old_speaker, "speaker", SPEAKER, section=None, token=uuid4(), by=owner, now=now
    )
    with pytest.raises(Refused, match="customer's own"):
        reserve_part(found, token=uuid4(), by=owner, now=now)
    fit_part(found, token=uuid4(), by=owner, now=now)
    old_speaker.refresh_from_db()
    assert old_speaker.kept_because == "fitted in the hilt"
    take_off(found, "crackles", token=uuid4(), by=owner, now=now)
    old_speaker.refresh_from_db()
    assert (old_speaker.kept_because, old_speaker.returned_at) == ("", None)
    assert StockRow.objects.count() == 0


def test_customers_own_part_is_on_one_list_once_with_figures_that_can_be(
    build: Build, old_speaker: Belonging, owner: User, now: datetime
) -> None:
    def add(whose: Build, spec: dict[str, float]) -> BuildPart:
        return plan_own(
            whose, old_speaker, "speaker", spec, section=None, token=uuid4(), by=owner, now=now
        )

    with pytest.raises(Refused, match="number"):
        add(build, {**SPEAKER, "diameter_mm": 600})
    add(build, SPEAKER)
    with pytest.raises(Refused, match="already"):
        add(build, SPEAKER)
    with pytest.raises(Refused, match="did not come with"):
        add(make_build(owner, now, State.INSTALL), SPEAKER)


def test_kit_puts_all_its_parts_on_the_list_once(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    kit = Kit.objects.create(name="one switch, pixel blade")
    kit.lines.create(part=speaker, quantity=2)
    kit.lines.create(part=make_part(owner, now, 1, name="speaker, 20 mm"), quantity=1)
    token = uuid4()
    for _tap in range(2):
        plan_kit(build, kit, token=token, by=owner, now=now)
    assert [each.quantity for each in build.parts.all()] == [2, 1]
    assert build.plan.kit == kit


def test_chassis_is_chosen(build: Build, owner: User, now: datetime) -> None:
    for _tap in range(2):
        choose_chassis(build, "removable", by=owner, now=now)
    assert [line.text for line in entries_about(build.about)[:2]] == [
        "Chassis chosen: removable",
        "Booked: full install",
    ]
    with pytest.raises(Refused):
        choose_chassis(build, "round", by=owner, now=now)


def test_an_ended_build_takes_no_parts(speaker: Part, owner: User, now: datetime) -> None:
    ended = make_build(owner, now, State.INSTALL)
    found = plan(ended, speaker, owner, now)
    Build.objects.filter(pk=ended.pk).update(state=State.SENT, tray=None)
    later = now + timedelta(days=1)
    with pytest.raises(Refused, match="has ended"):
        plan(ended, speaker, owner, later)
    with pytest.raises(Refused, match="has ended"):
        fit_part(found, token=uuid4(), by=owner, now=later)


@pytest.mark.parametrize("stage", [State.BOOKED, State.INTAKE, State.TEARDOWN])
def test_nothing_is_fitted_while_heat_may_come(
    stage: str, speaker: Part, owner: User, now: datetime
) -> None:
    found = plan(make_build(owner, now, stage), speaker, owner, now)
    with pytest.raises(Refused, match="parts go in from install on"):
        fit_part(found, token=uuid4(), by=owner, now=now)
    assert stock(speaker) == (2, 0)


@pytest.mark.parametrize("result", ["aside", "rewrap"])
def test_damaged_cell_of_the_customer_does_not_go_in(
    result: str, build: Build, owner: User, now: datetime
) -> None:
    thing = make_arrival(owner, now).belongings.create(build=build, what="a cell")
    facts = {"section": None, "by": owner, "now": now}
    cell = plan_own(
        build, thing, "cell", {**SPECS_OF["cell"], **RATINGS_OF["cell"]}, token=uuid4(), **facts
    )
    check_cell(build, owner, now, result)
    with pytest.raises(Refused, match="keeps this cell out"):
        fit_part(cell, token=uuid4(), by=owner, now=now)
    check_cell(build, owner, now + timedelta(minutes=1), "good")
    assert fit_part(cell, token=uuid4(), by=owner, now=now + timedelta(minutes=1)).fitted_at


def test_tap_of_a_page_kept_open_reserves_nothing_in_silence(
    build: Build, speaker: Part, owner: User, now: datetime
) -> None:
    found, token = plan(build, speaker, owner, now), uuid4()
    held = reserve_part(found, token=token, by=owner, now=now).reservation
    assert held
    release(held, token=uuid4(), by=owner, now=now)
    with pytest.raises(Refused, match="out of date"):
        reserve_part(found, token=token, by=owner, now=now)
