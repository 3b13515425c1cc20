"""Every pair of colours that stands on a page is legible, by WCAG 2.2 AA."""

import re

import pytest

from shop.env import BASE_DIR

TOKENS = (BASE_DIR / "static" / "css" / "tokens.css").read_text(encoding="utf-8")
TEXT, SIGN = 4.5, 3.0  # text; the outline or mark by which a thing is known

GROUNDS = ("ground", "plate")
TEXT_PAIRS = [
    *[(word, on) for word in ("ink", "quiet", "blue", "blue-deep", "brass", "stop", "met")
      for on in GROUNDS],
    *[(word, wash) for word in ("ink", "quiet") for wash in
      ("blue-wash", "brass-wash", "stop-wash", "met-wash")],
    ("blue", "blue-wash"), ("blue-deep", "blue-wash"), ("brass", "brass-wash"),
    ("stop", "stop-wash"), ("met", "met-wash"), ("ink", "brass-fill"),
    ("on-blue", "blue"), ("on-blue", "blue-deep"), ("on-strip", "strip-ground"),
    ("plate", "ink"), ("ink", "line"),
]  # fmt: skip
SIGN_PAIRS = [(sign, on) for sign in ("edge", "blue", "brass", "stop", "met") for on in GROUNDS]


def _tokens(scheme: str) -> dict[str, str]:
    light, dark = TOKENS.split("@media (prefers-color-scheme: dark)")
    found = dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", light))
    if scheme == "dark":
        found |= dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6})", dark))
    return found


def _luminance(colour: str) -> float:
    shares = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _contrast(one: str, other: str) -> float:
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_counted_as_the_guideline_says() -> None:
    assert _contrast("#000000", "#ffffff") == pytest.approx(21)
    assert _contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=0.001)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("word", "on"), TEXT_PAIRS)
def test_text_is_legible(word: str, on: str, scheme: str) -> None:
    tokens = _tokens(scheme)
    assert _contrast(tokens[word], tokens[on]) >= TEXT


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(("sign", "on"), SIGN_PAIRS)
def test_what_can_be_touched_stands_out(sign: str, on: str, scheme: str) -> None:
    tokens = _tokens(scheme)
    assert _contrast(tokens[sign], tokens[on]) >= SIGN


def test_dark_gives_a_value_to_every_colour() -> None:
    _, dark = TOKENS.split("@media (prefers-color-scheme: dark)")
    assert set(_tokens("light")) == set(re.findall(r"--([\w-]+):\s*#", dark))


@pytest.mark.parametrize("name", ["base", "frame", "parts", "forms", "drawn"])
def test_colours_come_from_the_tokens_alone(name: str) -> None:
    css = (BASE_DIR / "static" / "css" / f"{name}.css").read_text(encoding="utf-8")
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[;\s,)])", css) == []
