"""Reads parcels."""

from builds.dispatch.queries.parcels import (
    carriers,
    day_of,
    is_packed,
    left_on,
    on_the_way,
    parcel_of,
    parcels,
    shares_a_parcel,
    to_leave,
    trays_left,
)

__all__ = [
    "carriers", "day_of", "is_packed", "left_on", "on_the_way", "parcel_of", "parcels",
    "shares_a_parcel", "to_leave",
    "trays_left",
]  # fmt: skip
