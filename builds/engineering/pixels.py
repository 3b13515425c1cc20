"""Strips of pixels: what they draw, how long a frame takes, how many a length holds."""

import re
from math import floor

from builds.engineering.given import NOISE, counted, fraction, not_negative, positive, whole

# Of one channel at full, by version: a property of the strip. Public list of addressable LEDs,
# WS2812B-2020 datasheet text, FastLED's power model, Adafruit's guides.
PUBLISHED_CHANNEL_MA = (12.0, 16.0, 18.0, 18.5, 20.0)
WIRING_MA = 20.0  # a channel, for wiring and limits
RUNTIME_MA = 12.0  # a channel, for runtime
IDLE_MA = (0.6, 1.0)  # a pixel that is dark: published lists and Adafruit's guide
RESET_OLDER_S, RESET_NEWER_S = 50e-6, 280e-6  # WS2812B datasheets
SUPPLY_V = (3.5, 5.3)  # WS2812B datasheets
BULK_CAPACITOR_UF, BULK_CAPACITOR_LEAST_V = 1000.0, 6.3  # Adafruit, pixel guides
DATA_RESISTOR_OHM = (300.0, 500.0)  # Adafruit, pixel guides
_COLOUR = re.compile(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})", re.IGNORECASE)


def strip_current_a(
    pixels: int,
    colour: str,
    channel_ma: float,
    quiescent_ma: float = 0.0,
    brightness: float = 1.0,
) -> float:
    """Current of pixels that all show a colour: I = N × ((r + g + b) / 255 × b × I_ch + I_q).

    Source: WS2812B datasheets; Adafruit, guide to powering pixels. The current of a channel is a
    property of the strip, from its own sheet; brightness scales the light, not the idle current.

    :raises ValueError: where the colour is not like #ff8800, or a number cannot be.
    """
    channels = light(colour) * fraction(brightness, "The brightness")
    lit_ma = channels * not_negative(channel_ma, "The current of a channel in mA")
    idle_ma = not_negative(quiescent_ma, "The idle current of a pixel in mA")
    return whole(pixels, "Pixels") * (lit_ma + idle_ma) / 1000


def light(colour: str) -> float:
    """How many full channels a colour lights, 0 to 3: (r + g + b) / 255. Source: closed form.

    :raises ValueError: where it is not like #ff8800.
    """
    if not (found := _COLOUR.fullmatch(colour)):
        raise ValueError(f"“{colour}” is no colour: write it like #ff8800.")
    return sum(int(channel, 16) for channel in found.groups()) / 255


def refresh_time_s(
    pixels: int, reset_s: float = RESET_NEWER_S, bits: int = 24, bit_s: float = 1.25e-6
) -> float:
    """The least time of a frame: t = N × bits × (time of a bit) + reset.

    Source: WS2812B datasheets, older and newer (24 bits of 1.25 µs; reset over 50 µs or 280 µs).
    """
    sent = whole(pixels, "Pixels") * counted(bits, "Bits a pixel")
    return sent * positive(bit_s, "The time of a bit in s") + not_negative(reset_s, "The reset")


def count(length_m: float, per_metre: float) -> int:
    """Whole pixels that a length holds: N = ⌊L × n⌋, binary noise forgiven.

    Source: closed form. A real blade is counted: tip and connector take some.
    """
    length = not_negative(length_m, "The strip's length in m")
    return floor(length * positive(per_metre, "Pixels a metre") * (1 + NOISE))


def pixel_power_w(pixel_ma: float, supply_v: float) -> float:
    """What one pixel takes: P = I × V. Source: definition of electric power."""
    current = not_negative(pixel_ma, "The current of a pixel in mA")
    return current * positive(supply_v, "The supply voltage") / 1000
