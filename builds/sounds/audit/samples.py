"""The samples of a sound, a block at a time, whatever holds them: between −1 and 1."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from numpy.typing import NDArray

from builds.sounds.audit.wave import FLOAT, Wave

# Moments at a time, so that no sound is ever in memory as a whole; with what the loudness filter
# still rings of the block before, it fills a power of two.
BLOCK = 3 * 2**15
MOST_CHANNELS = 8
RATES_HZ = (4_000, 384_000)
Block = NDArray[np.float64]  # moments × channels
_BITS = {"PCM_S8": 8, "PCM_U8": 8, "PCM_16": 16, "PCM_24": 24, "PCM_32": 32}


class NotRead(ValueError):
    """Sound that cannot be read here; the code says why."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True)
class Sound:
    """A sound that can be read from its beginning, as often as wanted."""

    path: Path
    rate_hz: int
    channels: int
    bits: int | None  # None where the format keeps no fixed number of them
    is_float: bool
    wave: Wave | None = None  # its header, where our own reading does

    def blocks(self) -> Iterator[Block]:
        """Its samples from the beginning. What is no number is counted as full scale.

        :raises NotRead: it breaks off inside a coded part.
        """
        return _plain(self.path, self.wave) if self.wave else _coded(self.path)


def opened(path: Path, wave: Wave | None) -> Sound:
    """A sound by its file, and by its header where it has one that is plain.

    :raises NotRead: nothing here reads it.
    """
    if wave is not None and wave.is_plain:
        sound = Sound(path, wave.rate_hz, wave.channels, wave.bits, wave.code == FLOAT, wave)
    else:
        sound = _by_library(path)
    if sound.channels > MOST_CHANNELS:
        raise NotRead("many-channels")
    if not RATES_HZ[0] <= sound.rate_hz <= RATES_HZ[1]:
        raise NotRead("odd-rate")
    return sound


def _by_library(path: Path) -> Sound:
    try:
        with soundfile.SoundFile(path) as file:
            kind = str(file.subtype)
            is_float = kind in ("FLOAT", "DOUBLE")
            return Sound(path, file.samplerate, file.channels, _BITS.get(kind), is_float)
    except (soundfile.SoundFileError, RuntimeError, TypeError, ValueError) as error:
        raise NotRead("unreadable") from error


def _plain(path: Path, wave: Wave) -> Iterator[Block]:
    left = wave.data_bytes
    with path.open("rb") as file:
        file.seek(wave.data_at)
        while left > 0:
            content = file.read(min(left, BLOCK * wave.align))
            content = content[: len(content) - len(content) % wave.align]
            if not content:
                return
            left -= len(content)
            yield _numbers(content, wave).reshape(-1, wave.channels)


def _numbers(content: bytes, wave: Wave) -> Block:
    if wave.code == FLOAT:
        kind = "<f4" if wave.bits == 32 else "<f8"
        with np.errstate(invalid="ignore"):
            return _finite(np.frombuffer(content, kind).astype(np.float64))
    if wave.bits == 8:
        return (np.frombuffer(content, np.uint8).astype(np.float64) - 128) / 128
    if wave.bits == 24:
        three = np.frombuffer(content, np.uint8).reshape(-1, 3).astype(np.int32)
        whole = (three[:, 0] << 8) | (three[:, 1] << 16) | (three[:, 2] << 24)
        return whole.astype(np.float64) / 2**31
    kind = "<i2" if wave.bits == 16 else "<i4"
    scale: int = 2 ** (wave.bits - 1)
    return np.frombuffer(content, kind).astype(np.float64) / scale


def _finite(numbers: Block) -> Block:
    # As loud as can be, so that it is found and not passed over; and far from overflowing.
    return np.clip(np.nan_to_num(numbers, nan=1.0, posinf=1.0, neginf=-1.0), -64.0, 64.0)


def _coded(path: Path) -> Iterator[Block]:
    try:
        with soundfile.SoundFile(path) as file:
            blocks: Iterator[Any] = file.blocks(BLOCK, dtype="float64", always_2d=True)
            for block in blocks:
                yield _finite(block)
    except (soundfile.SoundFileError, RuntimeError, TypeError, ValueError) as error:
        raise NotRead("unreadable") from error
