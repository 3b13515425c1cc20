"""What is tried on a line, against days that can be counted on the fingers."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest

from builds.queue.effects import (
    AFTER,
    DOWN,
    FIRST,
    UP,
    effects,
    goes_first,
    moved,
    promised_by,
    rushed,
    sights,
)
from builds.queue.values import (
    NEW,
    Line,
    in_order,
    with_closure,
    with_extra_day,
    with_hands,
    with_late_parts,
    with_new_order,
)
from shop.diary.calendar import Closed
from shop.diary.forecast import Spread, Wait
from tests.queue.lines import LONDON, NINE_TO_FIVE, ODA, job, line_of

RUNS = 400
MON, FRI = date(2026, 11, 30), date(2026, 12, 4)
NEXT_MON, NEXT_FRI = date(2026, 12, 7), date(2026, 12, 11)
SATURDAY = date(2026, 12, 5)


def leaves(line: Line, key: int = 1) -> date | None:
    """The day on which a build leaves whose hours are certain."""
    seen = sights(line, RUNS)[key]
    assert seen.by_50 == seen.by_80 == seen.by_95
    return seen.by_80


def ready_after(line: Line, key: int = 1) -> timedelta:
    """How long from now until it is finished."""
    moment = sights(line, RUNS)[key].moments[0]
    assert moment is not None
    return timedelta(minutes=round(moment))


@pytest.mark.parametrize(
    ("hours", "day"),
    [
        (6, MON),  # ready at 15:00, whose own minute still counts
        (6.1, FRI),  # six minutes after the cut-off
        (38, FRI),  # Friday at 15:00
        (39, NEXT_MON),
        (40 + 6, NEXT_MON),  # over the weekend
        (40 + 7, NEXT_FRI),
    ],
)
def test_hours_that_are_certain_come_to_one_day(hours: float, day: date) -> None:
    assert leaves(line_of(job(1, hours))) == day


def test_closure_that_stands_is_worked_around() -> None:
    shut = Closed(date(2026, 12, 1), date(2026, 12, 3))
    assert leaves(line_of(job(1, 16), closures=(shut,))) == NEXT_MON  # Monday, then Friday


def test_closing_for_a_week_moves_the_day_by_a_week() -> None:
    line = line_of(job(1, 40 + 6))
    assert leaves(with_closure(line, NEXT_MON, date(2026, 12, 13))) == date(2026, 12, 14)


def test_a_day_of_the_clock_change_has_its_own_hours() -> None:
    friday = datetime(2026, 10, 23, 9, tzinfo=LONDON)  # clocks go back in the night to Sunday
    line = line_of(job(1, 9), now=friday)
    assert ready_after(line) == timedelta(days=3, hours=1 + 1)  # Monday at 10:00, an hour more
    assert leaves(line) == date(2026, 10, 26)


def test_extra_saturday_brings_it_to_the_monday() -> None:
    line = line_of(job(1, 40 + 7))
    assert leaves(line) == NEXT_FRI
    assert leaves(with_extra_day(line, ODA, SATURDAY, NINE_TO_FIVE)) == NEXT_MON


def test_extra_day_counts_on_a_day_that_the_shop_is_closed() -> None:
    line = with_closure(line_of(job(1, 40 + 7)), SATURDAY, SATURDAY)
    assert leaves(with_extra_day(line, ODA, SATURDAY, NINE_TO_FIVE)) == NEXT_MON


def test_extra_day_of_nobody_changes_nothing() -> None:
    line = line_of(job(1, 40 + 7))
    assert leaves(with_extra_day(line, ODA + 1, SATURDAY, NINE_TO_FIVE)) == NEXT_FRI


def test_help_takes_the_second_build_along() -> None:
    line = line_of(job(1, 38), job(2, 8))
    assert leaves(line, 2) == NEXT_MON
    assert leaves(with_hands(line, 2), 2) == FRI  # ten hours a day: 46 by Friday at 15:00
    assert leaves(with_hands(line, 2), 1) == FRI


def test_help_makes_nothing_later() -> None:
    line = line_of(*(job(key, hours) for key, hours in enumerate((30, 4, 22, 9, 15), 1)))
    for hours in (1, 2, 4, 8, 16):
        helped = with_hands(line, hours)
        assert all(ready_after(helped, key) <= ready_after(line, key) for key in range(1, 6))


def test_help_in_a_shop_without_hands_is_its_hours() -> None:
    line = replace(line_of(job(1, 4)), workers=())
    assert leaves(with_hands(line, 2)) == FRI  # two hours on Monday, two on Tuesday


def parts(hours: float) -> Wait:
    return Wait("parts", Spread(hours, 0.0))


def test_part_that_comes_late_moves_only_what_waits_for_it() -> None:
    line = line_of(job(1, 2, waits=(parts(1),)), job(2, 2))
    late = with_late_parts(line, 1, 10)
    assert leaves(line) == MON
    assert leaves(late) == NEXT_FRI  # Thursday the tenth, then two hours
    assert leaves(late, 2) == leaves(line, 2) == MON


def test_two_waits_of_one_build_for_one_line_come_late_both() -> None:
    line = line_of(job(1, 2, waits=(parts(1), parts(2))))
    late = with_late_parts(line, 1, 10)
    (stage,) = late.jobs[0].stages
    assert [wait.spread.median_h for wait in stage.waits] == [241, 242]


def test_what_goes_first_is_ready_first() -> None:
    line = line_of(job(1, 6), job(2, 6))
    assert (leaves(line, 1), leaves(line, 2)) == (MON, FRI)
    other = goes_first(line, 2)
    assert (leaves(other, 1), leaves(other, 2)) == (FRI, MON)


@pytest.mark.parametrize(
    ("to", "after", "order"),
    [
        (FIRST, None, [3, 1, 2, 4]),
        (UP, None, [1, 3, 2, 4]),
        (DOWN, None, [1, 2, 4, 3]),
        (AFTER, 1, [1, 3, 2, 4]),
        (AFTER, 4, [1, 2, 4, 3]),
        (AFTER, 9, [1, 2, 3, 4]),  # what is not there moves nothing
        (AFTER, 3, [1, 2, 3, 4]),
    ],
)
def test_where_a_build_goes(to: str, after: int | None, order: list[int]) -> None:
    assert moved([1, 2, 3, 4], 3, to, after) == order


def test_ends_of_the_line_are_where_they_are() -> None:
    assert moved([1, 2], 1, UP) == [1, 2]
    assert moved([1, 2], 2, DOWN) == [1, 2]


def unsure(places: int = 6) -> Line:
    """A line of builds whose hours nobody knows, each with a day that may just hold."""
    jobs = [job(key, 12, 0.4) for key in range(1, places + 1)]
    days = {1: FRI, 2: FRI, 3: FRI, 4: NEXT_MON, 5: NEXT_MON}
    return line_of(*jobs, due=days)


def test_nothing_is_changed_by_chance() -> None:
    line = unsure()
    other = in_order(line, [1, 2, 3, 4, 6, 5])
    found = {one.key: one for one in effects(sights(line, RUNS), sights(other, RUNS))}
    assert [found[key].change for key in (1, 2, 3, 4)] == [0.0] * 4
    assert not any(found[key].is_changed for key in (1, 2, 3, 4))


def test_worst_stands_first_and_what_hardly_changes_is_not_marked() -> None:
    line = unsure()
    found = effects(sights(line, RUNS), sights(goes_first(line, 5), RUNS))
    assert [one.change for one in found] == sorted(one.change for one in found)
    assert found[0].change < 0 < found[-1].change
    assert found[-1].key == 5
    assert [one.key for one in found if one.is_marked]
    assert all(abs(one.change) <= 0.02 for one in found if not one.is_marked)


def test_promise_is_the_first_dispatch_day_with_the_least_odds() -> None:
    line = with_new_order(line_of(job(1, 38)), "full")
    assert promised_by(line, sights(line, RUNS)[NEW], 0.8) == (NEXT_MON, 1.0)


def test_rush_order_costs_the_others() -> None:
    line = with_new_order(line_of(job(1, 38), due={1: FRI}), "full")
    found = effects(sights(line, RUNS), sights(rushed(line), RUNS))
    assert {one.key: one.change for one in found}[1] == -1.0
    assert leaves(rushed(line), NEW) == FRI


def test_surer_than_the_least_odds_takes_a_later_day() -> None:
    line = line_of(job(1, 30, 0.5))
    seen = sights(line, RUNS)[1]
    first, later = promised_by(line, seen, 0.5), promised_by(line, seen, 0.95)
    assert first
    assert later
    assert first[0] < later[0]
    assert first[1] >= 0.5
    assert later[1] >= 0.95
