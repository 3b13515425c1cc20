"""Loudness by ITU-R BS.1770-4: K weighting, blocks of 400 ms, two gates.

The weighting is made in the frequency domain, a block at a time, because its poles ring out
within a tenth of a second; so it needs no library of filters and any length fits in memory.
"""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from builds.sounds.audit.samples import Block

OFFSET = -0.691  # dB, so that 997 Hz at full scale in one channel reads −3.01
ABSOLUTE, RELATIVE = -70.0, -10.0  # LKFS and LU, annex 1
STEPS = 4  # blocks of 400 ms begin every 100 ms
RINGS_S = 0.2  # the high-pass has died down by 200 dB after this
# Weights of the five channels of annex 1; the sixth of six, low frequencies alone, counts nothing.
_SURROUND = {5: (1.0, 1.0, 1.0, 1.41, 1.41), 6: (1.0, 1.0, 1.0, 0.0, 1.41, 1.41)}
# The analogue filters behind the coefficients that annex 1 gives for 48 kHz.
_SHELF_HZ, _SHELF_DB, _SHELF_Q = 1681.974450955533, 3.999843853973347, 0.7071752369554196
_PASS_HZ, _PASS_Q, _SHELF_POWER = 38.13547087602444, 0.5003270373238773, 0.4996667741545416
Six = tuple[tuple[float, float, float], tuple[float, float, float]]


@dataclass(frozen=True)
class Loudness:
    """A loudness and how it was come by: "gated", "whole" (too short to gate) or "none"."""

    lufs: float | None
    how: str


def filters(rate_hz: int) -> tuple[Six, Six]:
    """The two filters of annex 1 at a sample rate: (b0, b1, b2), (1, a1, a2) of each."""
    k, high = math.tan(math.pi * _SHELF_HZ / rate_hz), 10 ** (_SHELF_DB / 20)
    band = high**_SHELF_POWER
    a0 = 1 + k / _SHELF_Q + k * k
    shelf = (
        ((high + band * k / _SHELF_Q + k * k) / a0, 2 * (k * k - high) / a0,
         (high - band * k / _SHELF_Q + k * k) / a0),
        (1.0, 2 * (k * k - 1) / a0, (1 - k / _SHELF_Q + k * k) / a0),
    )  # fmt: skip
    k = math.tan(math.pi * _PASS_HZ / rate_hz)
    a0 = 1 + k / _PASS_Q + k * k
    high_pass = ((1.0, -2.0, 1.0), (1.0, 2 * (k * k - 1) / a0, (1 - k / _PASS_Q + k * k) / a0))
    return shelf, high_pass


def _response(rate_hz: int, size: int) -> NDArray[np.complex128]:
    turn = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
    found = np.ones(size // 2 + 1, dtype=np.complex128)
    for (b0, b1, b2), (a0, a1, a2) in filters(rate_hz):
        found *= (b0 + b1 * turn + b2 * turn**2) / (a0 + a1 * turn + a2 * turn**2)
    return found


@dataclass
class Meter:
    """Hears a sound block by block and says how loud it was."""

    rate_hz: int
    channels: int
    moments: int = 0
    _tail: Block = field(init=False)
    _sums: list[NDArray[np.float64]] = field(default_factory=list)
    _responses: dict[int, NDArray[np.complex128]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._tail = np.zeros((int(self.rate_hz * RINGS_S), self.channels))

    def hear(self, block: Block) -> None:
        """Take in the next block."""
        weights = np.array(_SURROUND.get(self.channels, (1.0,) * self.channels))
        power = (self._weighted(block) ** 2) @ weights
        steps = (np.arange(self.moments, self.moments + len(block)) * 10) // self.rate_hz
        first = int(steps[0])
        sums = np.bincount(steps - first, weights=power)
        counts = np.bincount(steps - first)
        numbers = np.arange(first, first + len(sums))
        self._sums.append(np.stack((numbers, sums, counts)))
        self.moments += len(block)

    def _weighted(self, block: Block) -> Block:
        whole = np.concatenate((self._tail, block))
        size = 1 << (len(whole) - 1).bit_length()
        if size not in self._responses:
            self._responses[size] = _response(self.rate_hz, size)
        spectrum = np.fft.rfft(whole, size, axis=0) * self._responses[size][:, None]
        ringing = len(self._tail)
        self._tail = whole[-ringing:]
        weighted: Block = np.fft.irfft(spectrum, size, axis=0)[ringing : len(whole)]
        return weighted

    def read(self) -> Loudness:
        """How loud what was heard is, by the whole of it."""
        if not self.moments:
            return Loudness(None, "none")
        sums, counts = self._by_step()
        full = (self.moments * 10) // self.rate_hz
        if full < STEPS:
            return _shown(float(sums.sum() / counts.sum()), "whole")
        blocks = _in_fours(sums[:full]) / _in_fours(counts[:full])
        return _gated(blocks)

    def _by_step(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        numbers, sums, counts = np.concatenate(self._sums, axis=1)
        at = numbers.astype(np.int64)
        return _summed(at, sums), _summed(at, counts)


def _summed(at: NDArray[np.int64], numbers: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.bincount(at, weights=numbers).astype(np.float64)


def _in_fours(steps: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.convolve(steps, np.ones(STEPS), "valid")


def _gated(blocks: NDArray[np.float64]) -> Loudness:
    loud = blocks[blocks > _power(ABSOLUTE)]
    if not loud.size:
        return Loudness(None, "none")
    gate = float(loud.mean()) * 10 ** (RELATIVE / 10)
    return _shown(float(loud[loud > gate].mean()), "gated")


def _power(lufs: float) -> float:
    return float(10 ** ((lufs - OFFSET) / 10))


def _shown(power: float, how: str) -> Loudness:
    if power <= _power(ABSOLUTE):
        return Loudness(None, "none")
    return Loudness(OFFSET + 10 * math.log10(power), how)
