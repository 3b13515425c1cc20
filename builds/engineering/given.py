"""What every sum asks of the numbers that it is given; refusals in words a bench hand reads."""

from math import isfinite

NOISE = 1e-9  # relative: what binary fractions add to a number as it was typed


def finite(value: float, what: str) -> float:
    """The number itself.

    :raises ValueError: where it is not a number or without end.
    """
    if not isfinite(value):
        raise ValueError(f"{what} must be a number, not {value}.")
    return value


def positive(value: float, what: str) -> float:
    """A finite number above zero.

    :raises ValueError: where it is not.
    """
    if finite(value, what) <= 0:
        raise ValueError(f"{what} must be more than 0, not {value:g}.")
    return value


def not_negative(value: float, what: str) -> float:
    """A finite number, zero or above.

    :raises ValueError: where it is not.
    """
    if finite(value, what) < 0:
        raise ValueError(f"{what} must be 0 or more, not {value:g}.")
    return value


def fraction(value: float, what: str) -> float:
    """A share, from 0 to 1.

    :raises ValueError: where it is outside.
    """
    if not 0 <= finite(value, what) <= 1:
        raise ValueError(f"{what} must lie between 0 and 1, not {value:g}.")
    return value


def whole(value: float, what: str) -> int:
    """A whole number, zero or above.

    :raises ValueError: where it is not.
    """
    if not_negative(value, what) % 1:
        raise ValueError(f"{what} must be a whole number, not {value:g}.")
    return int(value)


def counted(value: float, what: str) -> int:
    """A whole number, one or above.

    :raises ValueError: where it is not.
    """
    return whole(positive(value, what), what)
