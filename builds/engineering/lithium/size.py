"""The weight that a carrier charges for a large light parcel."""

import math

from builds.engineering.given import positive


def dimensional_weight(
    length: float,
    width: float,
    height: float,
    divisor: float,
    round_up_sides: bool = False,
    round_up_to: float | None = None,
) -> float:
    """The dimensional weight of a parcel: length · width · height / divisor.

    In pounds from inches (divisor 139 or 166), in kilograms from centimetres (5000).
    ``round_up_sides`` takes each side to the next whole one first, ``round_up_to`` the weight to
    the next multiple of it. USPS reckons it only above 1,728 cubic inches.

    Source: pages of UPS and DHL; the divisor 166 and the USPS threshold as quoted by others.

    :raises ValueError: where a side, the divisor or the step is not above 0.
    """
    sides = [
        positive(side, f"The {name} of the parcel")
        for name, side in (("length", length), ("width", width), ("height", height))
    ]
    if round_up_sides:
        sides = [_up(side, 1) for side in sides]
    weight = math.prod(sides) / positive(divisor, "The divisor")
    if round_up_to is None:
        return weight
    return _up(weight, positive(round_up_to, "The step that the weight is rounded up to"))


def _up(value: float, step: float) -> float:
    # Less the noise of floats: 4.8 kg in steps of 0.1 is 4.8 kg.
    return round(math.ceil(value / step - 1e-9) * step, 9)
