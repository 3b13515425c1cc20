"""The services that shops of a country usually have, one a way of travelling.

Divisors from memory, as carriers' pages commonly say: the shop's own contract counts.
"""

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from builds.dispatch.states import YOUR_CARRIER, Mode, Sides

# Where the European rules of carriage by road hold; from memory, the treaty's own list counts.
ADR = frozenset(
    {
        "AD", "AL", "AM", "AT", "AZ", "BA", "BE", "BG", "BY", "CH", "CY", "CZ", "DE", "DK", "EE",
        "ES", "FI", "FR", "GB", "GE", "GR", "HR", "HU", "IE", "IS", "IT", "KZ", "LI", "LT", "LU",
        "LV", "MA", "MC", "MD", "ME", "MK", "MT", "NL", "NO", "PL", "PT", "RO", "RS", "RU", "SE",
        "SI", "SK", "SM", "TJ", "TN", "TR", "UA", "UZ",
    }
)  # fmt: skip


@dataclass(frozen=True)
class Usual:
    """A service as it is written down for a shop that has none."""

    name: Any
    carrier: Any
    mode: Mode
    sides: Sides = Sides.CM_KG
    divisor: float | None = 5000.0
    volume_above: float | None = None

    def fields(self) -> dict[str, Any]:
        """The columns of the row."""
        return {
            "name": str(self.name),
            "carrier": str(self.carrier),
            "mode": self.mode,
            "sides": self.sides,
            "divisor": self.divisor,
            "volume_above": self.volume_above,
        }


_POST = "USPS"
_ROAD = Usual(_("Parcel by road"), YOUR_CARRIER, Mode.ADR_ROAD)
_AIR = Usual(_("Parcel by air"), YOUR_CARRIER, Mode.AIR)
_STATES = (
    Usual(_("Parcel by ground"), YOUR_CARRIER, Mode.US_GROUND, Sides.IN_LB, 139.0),
    Usual(_("Post by surface"), _POST, Mode.USPS_DOMESTIC_SURFACE, Sides.IN_LB, 166.0, 1728.0),
    Usual(_("Post by air"), _POST, Mode.USPS_DOMESTIC_AIR, Sides.IN_LB, 166.0, 1728.0),
    Usual(_("Post abroad"), _POST, Mode.USPS_ABROAD, Sides.IN_LB, None),
    Usual(_("Parcel by air"), YOUR_CARRIER, Mode.AIR, Sides.IN_LB, 139.0),
)


def usual_for(country: str) -> list[Usual]:
    """One service a way of travelling that a shop of a country has."""
    if country == "US":
        return list(_STATES)
    return [_ROAD, _AIR] if country in ADR else [_AIR]
