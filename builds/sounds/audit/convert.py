"""Makes a sound anew in a board's wished format: resampled, dithered, nothing but sound in it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import IO

import numpy as np
import soxr
from numpy.typing import NDArray

from builds.sounds.audit.samples import BLOCK, Block, NotRead, Sound
from builds.sounds.audit.wave import header

LONGEST_S = 1800
_SEED = 1770  # the same sound gives the same bytes


@dataclass(frozen=True)
class Made:
    """What was written."""

    data_bytes: int
    limited: int  # samples that would have gone past full scale and were held there


def convert(sound: Sound, rate_hz: int, bits: int, channels: int, out: IO[bytes]) -> Made:
    """Write a sound as plain WAVE in whole numbers.

    :raises NotRead: it breaks off, or is too long.
    """
    out.write(header(rate_hz, channels, bits, 0))
    written, limited = 0, 0
    dither = np.random.default_rng(_SEED)
    is_exact = not sound.is_float and sound.bits is not None and sound.bits <= bits
    keeps = is_exact and sound.rate_hz == rate_hz and sound.channels == channels
    for block in _resampled(sound, rate_hz, channels):
        content, held = _whole_numbers(block, bits, None if keeps or bits > 16 else dither)
        out.write(content)
        written, limited = written + len(content), limited + held
        if written > LONGEST_S * rate_hz * channels * bits // 8:
            raise NotRead("too-long")
    if written % 2:
        out.write(b"\0")
    out.seek(0)
    out.write(header(rate_hz, channels, bits, written))
    return Made(written, limited)


def _resampled(sound: Sound, rate_hz: int, channels: int) -> Iterator[Block]:
    mixed = (_mixed(block, channels) for block in sound.blocks())
    if sound.rate_hz == rate_hz:
        yield from mixed
        return
    stream = soxr.ResampleStream(sound.rate_hz, rate_hz, channels, dtype="float64", quality="VHQ")
    for block in mixed:
        for at in range(0, len(block), BLOCK):
            yield _shaped(stream.resample_chunk(block[at : at + BLOCK]), channels)
    yield _shaped(stream.resample_chunk(np.zeros((0, channels)), last=True), channels)


def _shaped(block: NDArray[np.float64], channels: int) -> Block:
    return block.reshape(-1, channels)


def _mixed(block: Block, channels: int) -> Block:
    """One from several: their mean, which cannot clip. Several from one: the same in each."""
    if block.shape[1] == channels:
        return np.ascontiguousarray(block)
    one: Block = block.mean(axis=1, keepdims=True)
    return np.repeat(one, channels, axis=1)


def _whole_numbers(
    block: Block, bits: int, dither: np.random.Generator | None
) -> tuple[bytes, int]:
    scale = 2 ** (bits - 1)
    steps = block * scale
    if dither is not None:  # triangular, two steps wide: the error is then noise alone
        steps = steps + dither.random(steps.shape) - dither.random(steps.shape)
    whole = np.rint(steps)
    held = int(((whole > scale) | (whole < -scale - 1)).sum())
    numbers = np.clip(whole, -scale, scale - 1).astype(np.int64)
    if bits == 8:
        return (numbers + 128).astype(np.uint8).tobytes(), held
    if bits == 24:
        four = numbers.astype("<i4").view(np.uint8).reshape(-1, 4)
        return four[:, :3].tobytes(), held
    return numbers.astype("<i2" if bits == 16 else "<i4").tobytes(), held
