"""Which lines a build is asked, and the limits that follow from its own figures."""

from datetime import datetime, timedelta
from uuid import uuid4

import pytest

from builds.hilts.models import Blade, Hilt
from builds.models import Build
from builds.progress.states import State
from builds.proving import actions as proving
from builds.proving.models import Run, SheetLine
from builds.proving.queries.paper import sheet_pdf
from builds.proving.queries.standing import standing
from builds.proving.refusals import Refused
from builds.proving.states import Mark
from builds.proving.typical import LINES
from builds.sounds.actions import add_slot
from shop.models import House, User
from tests.makers import describe_slot, make_build, make_part, take_apart_and_carry

pytestmark = pytest.mark.django_db


def begin(build: Build, by: User, now: datetime, sheet: str = "") -> Run:
    newest = build.runs.first()
    seen = newest.number if newest else 0
    return proving.begin_run(build.pk, seen=seen, token=uuid4(), by=by, now=now, sheet=sheet)


def codes(run: Run) -> set[str]:
    return set(run.lines.values_list("code", flat=True))


@pytest.fixture
def full(owner: User, now: datetime) -> Build:
    """A build with a cell of 3000 mAh and 10 A, a board, a pixel blade and a slot."""
    build = make_build(owner, now, State.TEARDOWN)
    take_apart_and_carry(build, owner, now)
    Build.objects.filter(pk=build.pk).update(state=State.TEST)
    build.refresh_from_db()
    return build


def test_shop_without_a_sheet_gets_the_usual_one_with_its_first_run(
    full: Build, owner: User, now: datetime
) -> None:
    assert not SheetLine.objects.exists()
    begin(full, owner, now)
    assert SheetLine.objects.count() == len(LINES)
    assert proving.fill_sheet(by=owner, now=now) == 0


def test_lines_are_those_of_what_it_contains(full: Build, owner: User, now: datetime) -> None:
    asked = codes(begin(full, owner, now))
    assert {"retention", "colours", "slots", "chassis", "idle-drain", "rest"} <= asked
    assert not {"charge", "speaker", "sweep"} & asked  # neither a port nor a speaker is listed


def test_repair_is_asked_the_short_sheet_unless_the_full_one_is_wanted(
    owner: User, now: datetime
) -> None:
    build = make_build(owner, now, State.TEST, kind="repair")
    short = codes(begin(build, owner, now))
    assert {"shorts", "insulation", "idle-drain", "leaves"} <= short
    assert "rest" not in short
    assert "rest" in codes(begin(build, owner, now, "full"))


def test_blade_has_a_sheet_of_its_own(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST, kind="blade")
    blade = Blade.objects.create(
        customer=build.item.order.customer, name="36 in", pixels=264, since=now
    )
    Build.objects.filter(pk=build.pk).update(blade=blade)
    run = begin(build, owner, now)
    assert codes(run) == {"joints", "shorts", "ends", "colours", "pixels", "white-current"}
    assert run.lines.get(code="pixels").times == 264


def test_blade_that_was_tried_in_its_hilt_is_measured_there(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST, kind="blade")
    customer = build.item.order.customer
    hilt = Hilt.objects.create(customer=customer, name="Copperfen", since=now)
    part = make_part(owner, now, kind="blade")
    known = {"name": "36 in", "pixels": 264, "part": part, "tried_in": hilt, "since": now}
    Build.objects.filter(pk=build.pk).update(blade=Blade.objects.create(customer=customer, **known))
    run = begin(build, owner, now)
    assert {"seated", "held"} <= codes(run)
    white = run.lines.get(code="white-current")
    assert white.high == pytest.approx(264 * (3 * 12 + 0.6) / 1000, rel=0.01)
    assert "264 pixels × (3 × 12 mA + 0.6 mA)" in white.because


def test_hilt_with_a_blade_is_not_asked_what_a_blade_alone_is(
    full: Build, owner: User, now: datetime
) -> None:
    assert not {"ends", "seated", "held"} & codes(begin(full, owner, now))


def test_blade_that_goes_home_with_a_repair_is_seated_and_held(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST, kind="repair")
    assert not {"depth", "retention"} & codes(begin(build, owner, now))
    blade = Blade.objects.create(customer=build.item.order.customer, name="36 in", since=now)
    Build.objects.filter(pk=build.pk).update(blade=blade)
    build.refresh_from_db()
    assert {"depth", "retention"} <= codes(begin(build, owner, now))


def test_sheet_of_a_blade_alone_is_printed(owner: User, now: datetime, house: House) -> None:
    build = make_build(owner, now, State.TEST, kind="blade")
    run = begin(build, owner, now)
    assert sheet_pdf(build, standing(run), house).startswith(b"%PDF")


@pytest.mark.parametrize("code", ["slot-current", "white-current"])
def test_current_is_limited_by_the_cells_lowest_rating(
    code: str, full: Build, owner: User, now: datetime
) -> None:
    line = begin(full, owner, now).lines.get(code=code)
    assert line.high == pytest.approx(8.0)
    assert line.mark == Mark.RECKONED
    assert "0.8 × 10 A" in line.because


def test_idle_limit_follows_from_capacity_and_the_least_days(
    full: Build, owner: User, now: datetime
) -> None:
    House.objects.update(least_idle_days=25)
    line = begin(full, owner, now).lines.get(code="idle-drain")
    assert line.high == pytest.approx(2.0)  # the template's, for 3000 mAh
    assert line.high_told == pytest.approx(5.0)  # 3000 / (25 × 24)
    assert "3000 mAh ÷ (25 days × 24 h) = 5 mA" in line.because


def test_blade_must_be_as_deep_as_it_was_tried(full: Build, owner: User, now: datetime) -> None:
    line = begin(full, owner, now).lines.get(code="depth")
    assert (line.low, line.mark) == (25.4, Mark.RECKONED)


def test_as_many_slots_and_pixels_as_it_has(full: Build, owner: User, now: datetime) -> None:
    describe_slot_two(full, owner, now)
    run = begin(full, owner, now)
    assert run.lines.get(code="slots").times == 2
    assert run.lines.get(code="pixels").times == 132


def describe_slot_two(build: Build, by: User, now: datetime) -> None:
    values = {"place": 2, "name": "Tide", "colour": "#0040ff", "look": "steady"}
    add_slot(build.pk, values, token=uuid4(), by=by, now=now)


def test_without_figures_the_templates_limits_hold_and_say_so(owner: User, now: datetime) -> None:
    build = make_build(owner, now, State.TEST)
    describe_slot(build, owner, now)
    run = begin(build, owner, now)
    idle, current = run.lines.get(code="idle-drain"), run.lines.get(code="slot-current")
    assert (idle.high, idle.high_told, idle.mark) == (2, 6, Mark.REASONED)
    assert current.high is None
    assert "not known" in current.because


def test_run_keeps_its_limits_when_the_sheet_changes(
    full: Build, owner: User, now: datetime
) -> None:
    run = begin(full, owner, now)
    line = SheetLine.objects.get(code="retention")
    proving.change_line(line.pk, {"low": 80.0}, by=owner, now=now + timedelta(days=1))
    assert run.lines.get(code="retention").low == 50
    line.refresh_from_db()
    assert (line.low, line.mark) == (80.0, Mark.SHOP)


def test_limit_of_what_nobody_may_pass_stays(owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    shorts = SheetLine.objects.get(code="shorts")
    proving.change_line(shorts.pk, {"name": "No short", "low": 0.0}, by=owner, now=now)
    shorts.refresh_from_db()
    assert (shorts.name, shorts.low, shorts.mark) == ("No short", 1, Mark.COMMON)
    with pytest.raises(Refused, match="stays on the sheet"):
        proving.retire_line(shorts.pk, True, by=owner, now=now)


def test_what_another_test_waits_for_is_not_left_out(owner: User, now: datetime) -> None:
    proving.fill_sheet(by=owner, now=now)
    retention = SheetLine.objects.get(code="retention")
    with pytest.raises(Refused, match="is tried only after Blade retention"):
        proving.retire_line(retention.pk, True, by=owner, now=now)


def test_tests_are_added_left_out_and_put_in_another_order(
    full: Build, owner: User, now: datetime
) -> None:
    proving.fill_sheet(by=owner, now=now)
    values = {"name": "Smell", "read": "eye", "wants": "any"}
    made = proving.add_line(values, by=owner, now=now)
    proving.move_line(made.pk, True, by=owner, now=now)
    names = list(SheetLine.objects.values_list("code", flat=True))
    assert names.index("smell") == names.index("leaves") - 1
    proving.retire_line(SheetLine.objects.get(code="joints").pk, True, by=owner, now=now)
    asked = codes(begin(full, owner, now))
    assert "smell" in asked
    assert "joints" not in asked
