"""Colours in words: what a blade's colour is called, for whoever cannot see or tell it."""

from collections.abc import Callable
from functools import cache, partial
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

t = gettext_lazy
# What blades usually burn in, by the name that a form offers.
USUAL: dict[str, Any] = {
    "#ff0000": t("red"),
    "#ff4000": t("orange"),
    "#ff9000": t("amber"),
    "#ffff00": t("yellow"),
    "#00ff00": t("green"),
    "#00ffa0": t("sea green"),
    "#00ffff": t("cyan"),
    "#0080ff": t("sky blue"),
    "#0000ff": t("blue"),
    "#8000ff": t("violet"),
    "#ff00ff": t("magenta"),
    "#ff4080": t("pink"),
    "#ffffff": t("white"),
}
_DARK, _DIM = 0.08, 0.55  # below these shares of full light a colour is called so
_PALE = 0.5  # a pale colour is half white
# From linear sRGB to XYZ, D65 (IEC 61966-2-1), by rows; the white point; CIE 15 for the rest.
_XYZ = (
    (0.4124, 0.3576, 0.1805),
    (0.2126, 0.7152, 0.0722),
    (0.0193, 0.1192, 0.9505),
)
_WHITE = (0.9505, 1.0, 1.089)
_BEND = 6 / 29
Lab = tuple[float, float, float]


def colour_word(colour: str) -> str:
    """What a colour like #1b4c99 is called: "sky blue", "dim red", "pale green".

    At full light, as a blade would show it, it is the nearest in CIELAB of the usual colours and of
    their pale kin; how bright it is says whether it is dim.
    """
    parts = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    light = max(parts) / 255
    if light < _DARK:
        return _("dark")
    here = lab("#" + "".join(f"{round(part / light):02x}" for part in parts))
    word = min(_names(), key=lambda named: _apart(here, named[0]))[1]()
    return _("dim %(colour)s") % {"colour": word} if light < _DIM else word


def lab(colour: str) -> Lab:
    """A colour in CIELAB, in which equal distances look about equally far apart."""
    linear = [_linear(int(colour[at : at + 2], 16) / 255) for at in (1, 3, 5)]
    x, y, z = (
        _bent(sum(share * part for share, part in zip(row, linear, strict=True)) / white)
        for row, white in zip(_XYZ, _WHITE, strict=True)
    )
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def _bent(share: float) -> float:
    return share ** (1 / 3) if share > _BEND**3 else share / (3 * _BEND**2) + 4 / 29


def _apart(one: Lab, other: Lab) -> float:
    return sum((a - b) ** 2 for a, b in zip(one, other, strict=True))


@cache
def _names() -> list[tuple[Lab, Callable[[], str]]]:
    """Where each colour lies and what it is called in the reader's language."""
    usual: list[tuple[Lab, Callable[[], str]]] = [
        (lab(colour), partial(str, word)) for colour, word in USUAL.items()
    ]
    return usual + [
        (lab(_paler(colour)), partial(_pale, word))
        for colour, word in USUAL.items()
        if colour != "#ffffff"
    ]


def _paler(colour: str) -> str:
    parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{round(part + (255 - part) * _PALE):02x}" for part in parts)


def _pale(word: Any) -> str:
    return _("pale %(colour)s") % {"colour": word}
