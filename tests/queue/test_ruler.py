"""The rule of days: where a day lies, what is shut, where it ends."""

from datetime import date, timedelta

import pytest

from builds.queue.queries.ruler import Piece, Rule, rule_of
from shop.diary.calendar import Closed
from tests.queue.lines import shop_calendar

MON = date(2026, 11, 30)
DAY = timedelta(days=1)
RULE = Rule(MON, 20)  # a day is five per cent


@pytest.mark.parametrize(
    ("ahead", "x", "middle"),
    [(0, 0, 2.5), (1, 5, 7.5), (19, 95, 97.5), (20, 100, 100), (90, 100, 100), (-3, 0, 0)],
)
def test_day_lies_at_its_share_and_never_outside(ahead: int, x: float, middle: float) -> None:
    day = MON + ahead * DAY
    assert (RULE.at(day), RULE.middle(day)) == (x, middle)


@pytest.mark.parametrize(
    ("first", "last", "piece"),
    [
        (0, 0, Piece(0, 5)),
        (2, 4, Piece(10, 15)),
        (18, 40, Piece(90, 10)),  # cut at the end
        (18, None, Piece(90, 10)),  # out of sight: to the end
        (-5, 1, Piece(0, 10)),
        (4, 2, Piece(20, 0)),  # the wrong way round is nothing
        (30, 40, Piece(100, 0)),
    ],
)
def test_piece_goes_over_both_its_days(first: int, last: int | None, piece: Piece) -> None:
    until = None if last is None else MON + last * DAY
    assert RULE.piece(MON + first * DAY, until) == piece


def test_what_lies_behind_the_last_day_is_beyond() -> None:
    assert RULE.last == MON + 19 * DAY
    assert not RULE.is_beyond(RULE.last)
    assert RULE.is_beyond(RULE.last + DAY)
    assert RULE.is_beyond(None)


@pytest.mark.parametrize(
    ("farthest", "days"),
    [(None, 21), (-9, 21), (19, 21), (20, 28), (26, 28), (54, 56), (55, 56), (400, 56)],
)
def test_rule_reaches_over_its_days_in_whole_weeks(farthest: int | None, days: int) -> None:
    reach = None if farthest is None else MON + farthest * DAY
    assert rule_of(shop_calendar(), MON, [None, MON, reach]).days == days


def _days(rule: Rule, pieces: tuple[Piece, ...]) -> list[tuple[int, int]]:
    """From which day ahead, and over how many."""
    one = 100 / rule.days
    return [(round(piece.x / one), round(piece.width / one)) for piece in pieces]


def test_weekends_are_off_and_a_closure_beside_one_is_one_stretch_with_it() -> None:
    shut = Closed(date(2026, 12, 4), date(2026, 12, 8))  # Friday to Tuesday
    rule = rule_of(shop_calendar((shut,)), MON, [])
    assert _days(rule, rule.shut) == [(4, 5), (12, 2), (19, 2)]
    assert [piece.look for piece in rule.shut] == ["closed", "off", "off"]
    assert _days(rule, rule.leaves) == [(0, 1), (11, 1), (14, 1), (18, 1)]


def test_rule_that_begins_and_ends_in_a_closure_is_shut_at_both_ends() -> None:
    shut = (Closed(MON, MON), Closed(date(2026, 12, 18), date(2027, 1, 3)))
    rule = rule_of(shop_calendar(shut), MON, [])
    assert _days(rule, rule.shut) == [(0, 1), (5, 2), (12, 2), (18, 3)]
    assert rule.shut[-1].x + rule.shut[-1].width == pytest.approx(100)


def test_mondays_are_named_every_other_one_on_a_narrow_page() -> None:
    rule = rule_of(shop_calendar(), MON + 2 * DAY, [])
    assert [(each.words, each.look) for each in rule.weeks] == [
        ("7 Dec", "every"), ("14 Dec", "other"), ("21 Dec", "every"),
    ]  # fmt: skip
    assert _days(rule, rule.weeks) == [(5, 0), (12, 0), (19, 0)]
