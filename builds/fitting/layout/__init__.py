"""Where everything lies in a hilt, in mm: pure sums on plain values, for the page and the gate."""

from builds.fitting.layout.across import combo_of, swapped
from builds.fitting.layout.judged import lay_out
from builds.fitting.layout.values import (
    Blade,
    Circle,
    Combo,
    Cut,
    Flat,
    Gap,
    Item,
    Lack,
    Layout,
    Opening,
    Size,
    Stretch,
    Thing,
    Tube,
    Turn,
)

__all__ = [
    "Blade", "Circle", "Combo", "Cut", "Flat", "Gap", "Item", "Lack", "Layout", "Opening", "Size",
    "Stretch", "Thing", "Tube", "Turn", "combo_of", "lay_out", "swapped",
]  # fmt: skip
