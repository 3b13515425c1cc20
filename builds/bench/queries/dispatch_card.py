"""One parcel on the dispatch day: where it goes, how it stands, what is still missing."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.formats import number_format

from builds.bench.queries.rows import Row
from builds.dispatch.models import Parcel
from builds.dispatch.queries.weights import outside
from builds.gates.conditions import Condition
from shop.orders.models import Consignee


@dataclass(frozen=True)
class Card:
    """One parcel that waits, in finished data."""

    parcel: Parcel
    day: date
    rows: Sequence[Row]

    @property
    def to(self) -> Consignee | None:
        """Whom it goes to."""
        return self.parcel.consignee

    @property
    def missed(self) -> bool:
        """Whether it leaves later than on the day that it was packed for."""
        return self.day > self.parcel.day

    @property
    def missing(self) -> list[Condition]:
        """What is still missing before it may leave, each thing once."""
        every = (lack for row in self.rows for lack in row.missing)
        return list({(lack.code, lack.text): lack for lack in every}.values())

    @property
    def classed(self) -> Condition | None:
        """How it was classed: the verdict, as the gate reads it."""
        every = (one for row in self.rows for one in row.conditions)
        return next((one for one in every if one.code == "classed"), None)

    @property
    def sides(self) -> str:
        """Its outer sides in centimetres, where they or those of its box are known."""
        found, _measured = outside(self.parcel)
        if not all(found):
            return ""
        return " × ".join(number_format(round((side or 0) / 10, 1)) for side in found) + "\u202fcm"

    @property
    def weight(self) -> str:
        """Its weight, where it was weighed."""
        grams = self.parcel.gross_g
        return f"{number_format(grams / 1000, decimal_pos=2)}\u202fkg" if grams else ""


def cards(parcels: Sequence[Parcel], day: date, rows: Mapping[int, Row]) -> list[Card]:
    """A card for each parcel; ``rows`` are those of the bench, by build."""
    return [
        Card(
            parcel,
            day,
            [
                rows[packed.build_id]
                for packed in parcel.inside  # type: ignore[attr-defined]
                if packed.build_id in rows
            ],
        )
        for parcel in parcels
    ]
