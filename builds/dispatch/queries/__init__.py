"""Reads parcels."""

from builds.dispatch.queries.parcels import (
    carriers,
    day_of,
    left_on,
    on_the_way,
    parcel_of,
    parcels,
    to_leave,
    trays_left,
)

__all__ = [
    "carriers", "day_of", "left_on", "on_the_way", "parcel_of", "parcels", "to_leave",
    "trays_left",
]  # fmt: skip
