"""Reads parcels."""

from builds.dispatch.queries.packing import Packing, packing_of, packings
from builds.dispatch.queries.parcels import (
    carriers,
    day_of,
    has_sums,
    is_packed,
    left_on,
    on_the_way,
    parcel_of,
    parcels,
    shares_a_parcel,
    to_leave,
    trays_left,
)
from builds.dispatch.usual import usual_for

__all__ = [
    "Packing", "carriers", "day_of", "has_sums", "is_packed", "left_on", "on_the_way",
    "packing_of", "packings", "parcel_of", "parcels", "shares_a_parcel", "to_leave", "trays_left",
    "usual_for",
]  # fmt: skip
