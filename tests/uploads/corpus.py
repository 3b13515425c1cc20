"""Files as people send them, small, and what a seed makes of them."""

from collections.abc import Callable
from io import BytesIO
from random import Random
from typing import Any

import numpy as np
import soundfile
from PIL import Image, ImageDraw
from pillow_heif import register_heif_opener

from tests.importing.sheets import csv_of, xlsx
from tests.sounds.making import sine, wave, with_chunk, zipped

INTERESTING = (0, 1, 0x7F, 0x80, 0xFF, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0xFFFFFFFF, 0x10000)


def _picture(mode: str, size: tuple[int, int], **how: Any) -> bytes:
    image = Image.new("RGB", size, (160, 150, 140))
    draw = ImageDraw.Draw(image)
    for step in range(0, size[0], 11):
        draw.line((step, 0, size[0] - step, size[1]), fill=(step % 255, 90, 200), width=3)
    out = BytesIO()
    image.convert(mode).save(out, **how)
    return out.getvalue()


def pictures() -> list[bytes]:
    """Each kind that is kept, in the ways that cameras write it; and kinds that are not."""
    register_heif_opener()
    exif = Image.Exif()
    exif[0x0110], exif[0x0112] = "a phone", 6
    exif.get_ifd(0x8825)[1] = "N"
    jpeg: list[dict[str, Any]] = [
        {"format": "JPEG", "exif": exif}, {"format": "JPEG", "progressive": True},
        {"format": "JPEG", "quality": 100, "subsampling": 0}, {"format": "JPEG", "quality": 5},
    ]  # fmt: skip
    found = [_picture("RGB", (320, 240), **how) for how in jpeg]
    found += [_picture(mode, (160, 120), format="JPEG") for mode in ("L", "CMYK")]
    found += [_picture(mode, (160, 120), format="PNG") for mode in ("RGB", "RGBA", "P", "L", "1")]
    found.append(_picture("LA", (90, 70), format="PNG", optimize=True))
    found.append(_picture("RGB", (160, 120), format="WEBP", quality=60, exif=exif))
    found.append(_picture("RGBA", (160, 120), format="WEBP", lossless=True))
    found.append(_picture("RGB", (160, 120), format="HEIF", quality=40))
    found += [_picture("P", (90, 70), format="GIF"), _picture("RGB", (90, 70), format="TIFF")]
    return [*found, _picture("RGB", (90, 70), format="BMP")]


def sounds() -> list[bytes]:
    """WAVE in its depths and with chunks of its own; what libsndfile reads beside it."""
    tone = sine(0.15)
    found = [wave(tone), with_chunk(b"LIST", b"INFO" + b"x" * 30, wave(tone))]
    stereo = np.column_stack([tone, tone[::-1]])
    kinds = [
        ("WAV", "PCM_24"), ("WAV", "FLOAT"), ("WAV", "ULAW"), ("WAV", "IMA_ADPCM"),
        ("FLAC", "PCM_16"), ("OGG", "VORBIS"), ("MP3", "MPEG_LAYER_III"), ("AIFF", "PCM_16"),
    ]  # fmt: skip
    for kind, depth in kinds:
        out = BytesIO()
        soundfile.write(out, stereo, 44_100, format=kind, subtype=depth)
        found.append(out.getvalue())
    return found


def archives() -> list[bytes]:
    """Zips of sounds, with folders, with litter, with a zip inside."""
    one, other = sounds()[:2]
    held = {"set/hum.wav": one, "set/swing1.wav": other, "set/read me.txt": b"words"}
    plain = zipped(held)
    return [plain, zipped({"a.wav": one}), zipped({**held, "__MACOSX/x": b"", "in.zip": plain})]


def sheets() -> list[bytes]:
    """Workbooks and text with separators, in several alphabets."""
    rows = [
        ["Name", "E-mail", "Note"],
        *[[f"Maud {n}", f"m{n}@x.example", "=1+1"] for n in range(20)],
    ]
    text = csv_of(rows)
    found = [xlsx(rows), xlsx(rows, rows), text.encode(), csv_of(rows, ";").encode("cp1252")]
    return [*found, csv_of(rows, "\t").encode("utf-16"), ("\ufeff" + text).encode()]


def _flip(data: bytearray, chance: Random, _other: bytes) -> bytearray:
    for _ in range(chance.choice((1, 1, 3, 20))):
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    return data


def _number(data: bytearray, chance: Random, _other: bytes) -> bytearray:
    """A size, a count, an offset: where they stand, which is mostly at the head."""
    near = chance.choice((32, 128, len(data)))
    at, width = chance.randrange(min(near, len(data))), chance.choice((1, 2, 4, 8))
    order: Any = chance.choice(("little", "big"))
    value = chance.choice(INTERESTING) % (1 << 8 * width)
    data[at : at + width] = value.to_bytes(width, order)
    return data


def _cut(data: bytearray, chance: Random, _other: bytes) -> bytearray:
    return data[: chance.randrange(len(data))]


def _drop(data: bytearray, chance: Random, _other: bytes) -> bytearray:
    at = chance.randrange(len(data))
    del data[at : at + chance.randrange(1, 200)]
    return data


def _twice(data: bytearray, chance: Random, _other: bytes) -> bytearray:
    at, long = chance.randrange(len(data)), chance.randrange(1, 400)
    data[at:at] = data[at : at + long] * chance.choice((1, 2, 50))
    return data


def _noise(data: bytearray, chance: Random, _other: bytes) -> bytearray:
    at, long = chance.randrange(len(data)), chance.randrange(1, 300)
    data[at : at + long] = chance.randbytes(long)
    return data


def _head_of_another(data: bytearray, chance: Random, other: bytes) -> bytearray:
    head = chance.choice((4, 12, 32, 200))
    return bytearray(other[:head]) + data[head:]


def _half_and_half(data: bytearray, chance: Random, other: bytes) -> bytearray:
    return data[: chance.randrange(len(data))] + bytearray(other[chance.randrange(len(other)) :])


_WAYS: tuple[Callable[[bytearray, Random, bytes], bytearray], ...] = (
    _flip, _flip, _number, _number, _cut, _drop, _twice, _noise, _head_of_another, _half_and_half,
)  # fmt: skip


def damaged(files: list[bytes], seed: int) -> bytes:
    """One of the files, damaged in one to three ways; the same seed, the same file."""
    chance = Random(seed)  # noqa: S311 - the same damage every time, not a secret
    data = bytearray(chance.choice(files))
    for _ in range(chance.choice((1, 1, 2, 3))):
        data = chance.choice(_WAYS)(data or bytearray(1), chance, chance.choice(files))
    return bytes(data)
