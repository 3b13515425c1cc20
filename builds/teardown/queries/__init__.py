"""Reads how far builds are apart, and what still forbids heat, drilling and tools."""

from builds.teardown.queries.facts import (
    Apart,
    apart,
    aparts,
    drill_lacks,
    heat_lacks,
    lacks_of,
    still_stuck,
    tool_lacks,
    wet_lacks,
)
from builds.teardown.queries.page import ApartPage, apart_page
from builds.teardown.queries.tried import minutes_tried, tried_since

__all__ = [
    "Apart", "ApartPage", "apart", "apart_page", "aparts",
    "drill_lacks", "heat_lacks", "lacks_of", "minutes_tried", "still_stuck", "tool_lacks",
    "tried_since", "wet_lacks",
]  # fmt: skip
