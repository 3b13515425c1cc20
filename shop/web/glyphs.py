"""Which signs the type of our papers has, and what stands for those that it lacks.

A sign without a shape would be an empty box on paper, or nothing at all: what was meant is lost
and nobody is told. So text is settled before it is set, and what is lacking is said.
"""

import struct
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings

_VENDOR = settings.BASE_DIR / "static" / "vendor"
# Whoever sets a paper in these, in this order, has every sign that ``settle`` leaves.
FAMILIES = ("Hyperlegible Next", "Hyperlegible Next Ext", "Noto Sans Ext")
FOLDERS = (_VENDOR / "atkinson-hyperlegible", _VENDOR / "noto-sans")
_FILES = (
    "hyperlegible-next-regular.ttf",
    "hyperlegible-next-ext-regular.ttf",
    "noto-sans-ext-regular.ttf",
)
INSTEAD = "\ufffd"
# Kin that Unicode does not name, or names too widely (a narrow space that must not break).
_KIN = {
    "\u202f": "\u00a0", "\u2010": "-", "\u2011": "-", "→": "->", "←": "<-", "≤": "<=", "≥": ">=",
    "≈": "~",
}  # fmt: skip
_KEPT = {"\n", " "}
_UNICODE_TABLES = {(3, 10), (3, 1), (0, 3), (0, 4)}  # platform and encoding, OpenType "cmap"


@dataclass(frozen=True)
class Settled:
    """Values that can be set, and the signs of them that could not be."""

    values: Any
    lacks: tuple[str, ...] = ()


def settle(values: Any) -> Settled:
    """Texts, wherever they stand in what JSON knows, with nothing in them that has no shape.

    Signs that steer (of direction, of joining, controls) are left out; a sign that the type lacks
    stands as its nearest kin where Unicode names one, else as the replacement character.
    """
    lacks: dict[str, None] = {}
    return Settled(_walk(values, lacks), tuple(lacks))


def _walk(value: Any, lacks: dict[str, None]) -> Any:
    if isinstance(value, str):
        signs = unicodedata.normalize("NFC", value.replace("\r\n", "\n").replace("\r", "\n"))
        return "".join(_sign(sign, lacks) for sign in signs)
    if isinstance(value, dict):
        return {key: _walk(each, lacks) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_walk(each, lacks) for each in value]
    return value


def _sign(sign: str, lacks: dict[str, None]) -> str:
    kind = unicodedata.category(sign)
    if sign in _KEPT or (kind not in {"Cc", "Cf", "Zl", "Zp"} and ord(sign) in known()):
        return sign
    if kind in {"Cc", "Zl", "Zp"}:
        return " "
    if kind == "Cf" or unicodedata.name(sign, "").startswith("VARIATION SELECTOR"):
        return ""
    kin = _KIN.get(sign) or unicodedata.normalize("NFKC", sign)
    if kin != sign and all(ord(each) in known() for each in kin):
        return kin
    lacks[sign] = None
    return "" if kind == "Mn" else INSTEAD


@cache
def known() -> frozenset[int]:
    """Every code point that one of our faces has a shape for."""
    paths = (folder / name for folder in FOLDERS for name in _FILES if (folder / name).exists())
    return frozenset(point for path in paths for point in _points(path))


def _points(path: Path) -> Iterator[int]:
    """The code points of a font: its table "cmap", formats 4 and 12 (OpenType 1.9)."""
    data = path.read_bytes()
    at = _cmap_at(data)
    (count,) = struct.unpack_from(">H", data, at + 2)
    for number in range(count):
        platform, encoding, offset = struct.unpack_from(">HHL", data, at + 4 + 8 * number)
        if (platform, encoding) in _UNICODE_TABLES:
            (form,) = struct.unpack_from(">H", data, at + offset)
            yield from {4: _in_segments, 12: _in_groups}[form](data, at + offset)


def _cmap_at(data: bytes) -> int:
    (count,) = struct.unpack_from(">H", data, 4)
    for number in range(count):
        tag, _sum, offset, _length = struct.unpack_from(">4sLLL", data, 12 + 16 * number)
        if tag == b"cmap":
            return int(offset)
    raise ValueError("a font without a table of its signs")


def _in_segments(data: bytes, at: int) -> Iterator[int]:
    (doubled,) = struct.unpack_from(">H", data, at + 6)
    count = doubled // 2
    ends = struct.unpack_from(f">{count}H", data, at + 14)
    starts = struct.unpack_from(f">{count}H", data, at + 16 + doubled)
    deltas = struct.unpack_from(f">{count}H", data, at + 16 + 2 * doubled)
    offsets_at = at + 16 + 3 * doubled
    offsets = struct.unpack_from(f">{count}H", data, offsets_at)
    for number, (start, end) in enumerate(zip(starts, ends, strict=True)):
        for point in range(start, min(end, 0xFFFE) + 1):
            glyph = point
            if offsets[number]:
                place = offsets_at + 2 * number + offsets[number] + 2 * (point - start)
                (glyph,) = struct.unpack_from(">H", data, place)
                if not glyph:
                    continue
            if (glyph + deltas[number]) & 0xFFFF:
                yield point


def _in_groups(data: bytes, at: int) -> Iterator[int]:
    (count,) = struct.unpack_from(">L", data, at + 12)
    for number in range(count):
        start, end, glyph = struct.unpack_from(">LLL", data, at + 16 + 12 * number)
        yield from range(start if glyph else start + 1, end + 1)
