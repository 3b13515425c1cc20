"""Reads parcels."""

from builds.dispatch.queries.packing import Packing, packing_of, packings
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
    "Packing", "carriers", "day_of", "left_on", "on_the_way", "packing_of", "packings",
    "parcel_of", "parcels", "to_leave", "trays_left",
]  # fmt: skip
