"""Sums behind a limit add up as they are shown."""

from decimal import Decimal

import pytest

from builds.proving.queries.reckoned import adding_up
from builds.proving.typical import LINES


@pytest.mark.parametrize(
    "terms", [[0.0293, 0.0586], [0.02928, 0.05856], [0.25, 0.45], [1.3337, 2.6669, 0.0001], [0.7]]
)
def test_terms_add_up_to_the_sum_as_shown(terms: list[float]) -> None:
    shown, whole = adding_up(terms)
    assert sum(map(Decimal, shown)) == Decimal(whole)
    assert float(whole) <= sum(terms) + 1e-9
    for term, text in zip(terms, shown, strict=True):
        assert float(text) == pytest.approx(term, abs=0.01)


def test_sum_has_the_digits_of_the_limit() -> None:
    assert adding_up([0.0292, 0.0586]) == (["0.0292", "0.0586"], "0.0878")


def test_hint_of_idle_drain_names_no_figures_of_another_cell() -> None:
    (line,) = [each for each in LINES if each.code == "idle-drain"]
    assert "mAh" not in line.how
