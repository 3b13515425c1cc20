"""Values that the rows of this room are written from."""

from dataclasses import dataclass

from shop.stores.models import Part


@dataclass(frozen=True)
class Wire:
    """A wire as it is written down."""

    starts: str
    ends: str
    carries: str
    gauge: int
    length_mm: int
    spare_mm: int = 20
    parallel: int = 1
    colour: str = ""
    part: Part | None = None
    is_guess: bool = False
