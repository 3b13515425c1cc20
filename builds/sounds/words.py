"""Colours in words: what a blade's colour is called, for whoever cannot see or tell it."""

import colorsys
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
# Up to so many degrees of hue a colour is called so.
_HUES = (
    (12, t("red")), (32, t("orange")), (48, t("amber")), (70, t("yellow")), (140, t("green")),
    (168, t("sea green")), (192, t("cyan")), (212, t("sky blue")), (255, t("blue")),
    (285, t("violet")), (320, t("magenta")), (345, t("pink")), (360, t("red")),
)  # fmt: skip
_DARK, _DIM, _GREY, _PALE = 0.08, 0.55, 0.12, 0.5


def colour_word(colour: str) -> str:
    """What a colour like #1b4c99 is called: "blue", "dim red", "pale green"."""
    if colour in USUAL:
        return str(USUAL[colour])
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    hue, saturation, value = colorsys.rgb_to_hsv(red, green, blue)
    if value < _DARK:
        return _("dark")
    if saturation < _GREY:
        return _("white") if value > _DIM else _("dim white")
    word = next(said for most, said in _HUES if hue * 360 <= most)
    if value < _DIM:
        return _("dim %(colour)s") % {"colour": word}
    return _("pale %(colour)s") % {"colour": word} if saturation < _PALE else str(word)
