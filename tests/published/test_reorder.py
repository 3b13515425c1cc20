"""Safety stock against published values, and against the normal distribution by simulation.

L: computed by the library named.
"""

import math
import random
from statistics import NormalDist

import pytest

from shop.stores import reorder


def test_point_of_a_part_used_five_a_period() -> None:
    """L (stockpyl): d 5, s 2, L 3, 95 %."""
    found = reorder.point(5, 2, 3, service=0.95)
    assert found.safety == pytest.approx(5.698, abs=5e-4)
    assert found.point == pytest.approx(20.698, abs=5e-4)


def test_safety_of_a_part_used_four_hundred_a_period() -> None:
    """L (stockpyl): d 400, s 125, L 1, 99 %."""
    assert reorder.point(400, 125, 1, service=0.99).safety == pytest.approx(290.793, abs=5e-4)


@pytest.mark.parametrize(("service", "z"), [(0.95, 1.644854), (0.99, 2.326348)])
def test_z_of_a_service(service: float, z: float) -> None:
    """L (scipy): quantiles of the normal distribution; 1.28 is that of 90 %, not of 95 %."""
    assert reorder.point(1, 1, 1, service=service).z == pytest.approx(z, abs=5e-7)
    assert reorder.point(1, 1, 1, service=0.9).z == pytest.approx(1.28, abs=2e-3)


def test_safety_is_the_quantile_of_the_demand_over_the_lead() -> None:
    """On 1,000 random parts the normal demand over the lead stays below the point as often as
    asked: agrees to 1e-9 of the share, by the distribution's own cumulative function."""
    dice = random.Random(20261125)
    for _ in range(1_000):
        mean, sd = dice.uniform(0.1, 500), dice.uniform(0.1, 200)
        lead, lead_sd = dice.uniform(0.1, 40), dice.uniform(0, 9)
        service = dice.uniform(0.5, 0.999)
        found = reorder.point(mean, sd, lead, lead_sd, service)
        over_lead = NormalDist(mean * lead, math.sqrt(lead * sd**2 + mean**2 * lead_sd**2))
        assert over_lead.cdf(found.point) == pytest.approx(service, abs=1e-9)
        assert found.point == pytest.approx(found.demand_over_lead + found.safety)


def test_a_shelf_refilled_at_the_point_runs_out_as_seldom_as_asked() -> None:
    """20,000 lead times thrown by dice, demand day by day: 95 % held, within 1 %."""
    dice = random.Random(8)
    level = reorder.point(20, 4, 9, service=0.95).point
    held = sum(
        sum(dice.gauss(20, 4) for _ in range(9)) <= level
        for _ in range(20_000)
    )  # fmt: skip
    assert held / 20_000 == pytest.approx(0.95, abs=0.01)
