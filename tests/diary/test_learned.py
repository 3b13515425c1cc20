"""Hours learned from a shop's past, beside closed forms."""

from math import exp, log

import pytest

from shop.diary import learned
from shop.diary.forecast import Job, Person, queue
from shop.diary.forecast.values import Stage
from tests.diary.shops import weekdays

GUESS = learned.Guess(4.0, 0.4, weight=2.0, shape=3.0)


def test_without_a_past_the_guess_stands() -> None:
    found = learned.hours("install", GUESS, [])
    assert found.builds == 0
    assert found.spread.median_h == pytest.approx(4.0)
    assert found.spread.log_sd == pytest.approx(0.4)
    assert not found.is_own


def test_the_median_moves_from_the_guess_to_the_past_by_their_weights() -> None:
    # F: two builds' worth of guess and six builds of 8 h: (2 ln 4 + 6 ln 8) / 8
    found = learned.hours("install", GUESS, [8.0] * 6)
    assert found.spread.median_h == pytest.approx(exp((2 * log(4) + 6 * log(8)) / 8))
    assert (found.spread.weight, found.spread.shape) == (8.0, 6.0)


def test_the_spread_is_the_posterior_of_the_normal_inverse_gamma() -> None:
    # F: β = 3 · 0.16 + Σ(x − x̄)²/2 + 2 · 2 (x̄ − μ0)²/(2 · 4), logs 0 and 2 about 1
    found = learned.hours("x", GUESS, [1.0, exp(2)])
    scale = 3 * 0.16 + 1 + 2 * 2 * (1 - log(4)) ** 2 / 8
    assert found.spread.log_sd == pytest.approx((scale / 4) ** 0.5)


def test_a_long_past_says_all() -> None:
    found = learned.hours("install", GUESS, [9.0, 11.0] * 200)
    assert found.spread.median_h == pytest.approx((9 * 11) ** 0.5, rel=0.01)
    assert found.is_own


def test_a_timer_that_hardly_ran_counts_as_a_minute() -> None:
    assert learned.hours("x", GUESS, [0.0]).spread.median_h > 0


def test_rework_is_counted_apart_from_the_hours() -> None:
    found = learned.on_top("rework", learned.REWORK, [1.0, 2.0], 10, yes=1, no=5)
    assert (found.extra.yes, found.extra.no) == (3, 13)
    assert (found.happened, found.builds) == (2, 10)


def test_more_rework_than_builds_is_refused() -> None:
    with pytest.raises(ValueError, match="No more builds"):
        learned.on_top("rework", learned.REWORK, [1.0, 2.0], 1, yes=1, no=5)


def test_a_young_shop_gets_wider_dates() -> None:
    widths = [_width([9.0, 10.0, 11.0] * builds) for builds in (0, 2, 30)]
    assert widths == sorted(widths, reverse=True)


def _width(past_h: list[float]) -> float:
    spread = learned.hours("install", learned.Guess(10.0), past_h).spread
    people: list[Person] = [weekdays()]
    (said,) = queue([Job(1, (Stage("install", spread),))], people, seed=3)
    half, _eighty, most = said.finish_min
    return (most or 0) / (half or 1)


@pytest.mark.parametrize("kind", learned.FIRST_GUESSES)
def test_every_kind_has_a_guess_for_every_stage(kind: str) -> None:
    assert set(learned.FIRST_GUESSES[kind]) == {
        "intake", "teardown", "install", "test", "dispatch",
    }  # fmt: skip
