"""Peak, clipping and silence of a sound, block by block."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from builds.sounds.audit.samples import Block, Sound

# Common practice, no source: what is below is not heard; from so many on full scale is a clip.
QUIET = 0.001  # −60 dBFS
RUN = 3


def decibels(level: float) -> float:
    """A level against full scale, in dB."""
    return 20 * math.log10(level) if level > 0 else -math.inf


@dataclass
class Levels:
    """What was heard so far."""

    top: float  # what counts as full scale
    moments: int = 0
    peak: float = 0.0
    runs: int = 0  # times at which it stayed at full scale for RUN samples or more
    longest: int = 0
    first: int = -1  # the first and the last moment that is not quiet
    last: int = -1
    _held: dict[int, int] = field(default_factory=dict)  # channel → length of the run under way

    def hear(self, block: Block) -> None:
        """Take in the next block."""
        size = np.abs(block)
        self.peak = max(self.peak, float(size.max()))
        loud = np.flatnonzero((size > QUIET).any(axis=1))
        if loud.size:
            self.first = self.first if self.first >= 0 else self.moments + int(loud[0])
            self.last = self.moments + int(loud[-1])
        for channel in range(block.shape[1]):
            # Rising and falling side apart: a square wave changes sides, a clip stays on one.
            for side, full in enumerate((block[:, channel], -block[:, channel])):
                self._run(2 * channel + side, full >= self.top)
        self.moments += len(block)

    def end(self) -> None:
        """Nothing follows: what is under way is over."""
        for length in self._held.values():
            self._count(length)
        self._held.clear()

    @property
    def is_silent(self) -> bool:
        """Whether nothing in it is heard."""
        return self.first < 0

    def _run(self, key: int, full: NDArray[np.bool_]) -> None:
        held = self._held.pop(key, 0)
        if not full.any():
            self._count(held)
            return
        edges = np.diff(np.concatenate(([False], full, [False])).astype(np.int8))
        starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
        lengths = (ends - starts).tolist()
        if starts[0] == 0:
            lengths[0] += held
        else:
            self._count(held)
        if ends[-1] == len(full):
            self._held[key] = lengths.pop()
        for length in lengths:
            self._count(length)

    def _count(self, length: int) -> None:
        if length >= RUN:
            self.runs += 1
            self.longest = max(self.longest, length)


def full_scale(sound: Sound) -> float:
    """From where a sample of this sound counts as full scale: its largest number, either way."""
    if sound.is_float or not sound.bits:
        return 1.0
    return 1.0 - 1.0 / float(2 ** (sound.bits - 1))
