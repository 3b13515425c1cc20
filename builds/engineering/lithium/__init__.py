"""How lithium cells may travel in a parcel: class, mark, texts, and what is missing to say so.

A decision aid, not legal advice: the shipper signs, and carriers may be stricter.
"""

from builds.engineering.lithium.classing import Classed, classify
from builds.engineering.lithium.contents import (
    Carried,
    Cells,
    Chemistry,
    Mode,
    Parcel,
    Unit,
    Verdict,
)
from builds.engineering.lithium.limits import CHECKED_ON, LIMITS, Limit
from builds.engineering.lithium.marking import Mark
from builds.engineering.lithium.rules import Reason
from builds.engineering.lithium.sentences import Sentence
from builds.engineering.lithium.size import dimensional_weight

__all__ = [
    "CHECKED_ON", "LIMITS", "Carried", "Cells", "Chemistry", "Classed", "Limit", "Mark", "Mode",
    "Parcel", "Reason", "Sentence", "Unit", "Verdict", "classify", "dimensional_weight",
]  # fmt: skip
