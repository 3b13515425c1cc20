"""When to buy a part again and how many: a pure sum on what was used and what is there."""

import math
from dataclasses import dataclass
from statistics import NormalDist


@dataclass(frozen=True)
class Point:
    """The stock at which a part is bought again, and what it is made of.

    ``z`` is how many standard deviations the service asks for, ``demand_over_lead`` what is used
    while waiting for the parcel, ``spread_over_lead`` how much that varies.
    """

    safety: float
    point: float
    z: float
    demand_over_lead: float
    spread_over_lead: float


@dataclass(frozen=True)
class Advice:
    """How many to order, and the figures that say why."""

    order: int
    position: int  # free and on its way
    point: float
    target: float  # what the order brings the position to, at least
    pack: int


def point(
    mean: float, sd: float, lead: float, lead_sd: float = 0.0, service: float = 0.95
) -> Point:
    """The reorder point of a part used at a rate, delivered after a lead time.

    Safety = z · √(L·s² + d²·sL²), point = d·L + safety, with d = ``mean`` and s = ``sd`` of the
    demand in one period, L = ``lead`` and sL = ``lead_sd`` in the same periods, and z the
    quantile of the normal distribution at ``service``, the share of deliveries waited for
    without running out.

    Source: the safety stock of inventory theory with independent demand and lead time.

    :raises ValueError: where a number is negative or none, or the service is not from 0.5 to
        below 1.
    """
    demand = _not_negative(mean, "The use in a period")
    spread = _not_negative(sd, "The spread of the use")
    wait = _not_negative(lead, "The lead time")
    wait_spread = _not_negative(lead_sd, "The spread of the lead time")
    if not 0.5 <= service < 1:
        raise ValueError(f"The service must be from 0.5 to below 1, as in 0.95, not {service}.")
    z = NormalDist().inv_cdf(service)
    varies = math.hypot(math.sqrt(wait) * spread, demand * wait_spread)
    return Point(z * varies, demand * wait + z * varies, z, demand * wait, varies)


def advise(
    on_hand: int,
    reserved: int,
    on_order: int,
    point: float,
    pack: int = 1,
    up_to: float | None = None,
) -> Advice:
    """How many of a part to order now, in whole packs.

    Position = on hand − reserved + on order. At or below the point: enough packs to reach
    ``up_to`` (the point itself where none is given), and one pack at least; above it nothing. A
    point of 0 is a part that is bought only when it is needed: nothing is advised for it.

    Source: the order-point, order-up-to-level rule (s, S) of inventory theory.

    :raises ValueError: where a count is negative, more is reserved than there is, a pack holds
        nothing, or ``up_to`` is below the point.
    """
    position = _position(on_hand, reserved, on_order)
    least = _not_negative(point, "The reorder point")
    target = least if up_to is None else _not_negative(up_to, "The level to fill up to")
    if target < least:
        raise ValueError(f"The level to fill up to ({target:g}) is below the point ({least:g}).")
    if pack < 1:
        raise ValueError(f"A pack holds 1 or more, not {pack}.")
    if least == 0 or position > least:
        return Advice(0, position, least, target, pack)
    packs = max(1, math.ceil((target - position) / pack))
    return Advice(packs * pack, position, least, target, pack)


def _position(on_hand: int, reserved: int, on_order: int) -> int:
    for count, what in (
        (on_hand, "What is on hand"),
        (reserved, "What is reserved"),
        (on_order, "What is on order"),
    ):
        _not_negative(count, what)
    if reserved > on_hand:
        raise ValueError(f"{reserved} are reserved, and only {on_hand} are on hand.")
    return on_hand - reserved + on_order


def _not_negative(value: float, what: str) -> float:
    if not math.isfinite(value) or value < 0:
        raise ValueError(f"{what} must be a number, 0 or more, not {value}.")
    return value
