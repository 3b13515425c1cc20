"""Listens to one file: what it is, what its header says, how it sounds: as plain data."""

import math
from pathlib import Path
from typing import Any

from builds.sounds.audit.kinds import HEAD, READ, kind_of
from builds.sounds.audit.levels import Levels, decibels, full_scale
from builds.sounds.audit.loudness import Meter
from builds.sounds.audit.samples import NotRead, Sound, opened
from builds.sounds.audit.wave import FLOAT, PCM, NotWave, Wave, read_wave

LONGEST_S = 1800  # of a sound that is longer so much is listened to
Facts = dict[str, Any]


def listen(path: Path) -> Facts:
    """Everything that is to be known of a file. Nothing that it holds makes this fail."""
    size = path.stat().st_size
    with path.open("rb") as file:
        kind = kind_of(file.read(HEAD))
        facts: Facts = {"kind": kind}
        wave = None
        if kind in ("wave", "rf64"):
            try:
                wave = read_wave(file, size)
            except NotWave as error:
                return {**facts, "unread": error.code}
            facts |= _of_header(wave)
    if kind not in READ:
        return facts
    try:
        return facts | _heard(opened(path, wave))
    except NotRead as error:
        return {**facts, "unread": error.code}


def _of_header(wave: Wave) -> Facts:
    return {
        "rate_hz": wave.rate_hz,
        "bits": wave.bits,
        "channels": wave.channels,
        "is_float": wave.code == FLOAT,
        "is_packed": wave.code not in (PCM, FLOAT),
        "extra": list(wave.extra),
        "faults": list(wave.faults),
        "stated": wave.data_stated,
        "there": wave.data_bytes,
    }


def _heard(sound: Sound) -> Facts:
    levels, meter = Levels(full_scale(sound)), Meter(sound.rate_hz, sound.channels)
    most, is_cut = LONGEST_S * sound.rate_hz, False
    for block in sound.blocks():
        if meter.moments >= most:
            is_cut = True
            break
        levels.hear(block)
        meter.hear(block)
    levels.end()
    facts: Facts = {
        "rate_hz": sound.rate_hz,
        "bits": sound.bits,
        "channels": sound.channels,
        "is_float": sound.is_float,
        "seconds": round(levels.moments / sound.rate_hz, 4),
    }
    if not levels.moments:
        return facts
    return facts | _as_heard(levels, meter, sound.rate_hz) | ({"is_long": True} if is_cut else {})


def _as_heard(levels: Levels, meter: Meter, rate: int) -> Facts:
    loudness, peak = meter.read(), decibels(levels.peak)
    return {
        "peak_db": round(peak, 2) if math.isfinite(peak) else None,
        "clips": levels.runs,
        "longest_clip": levels.longest,
        "is_silent": levels.is_silent,
        "lead_s": 0.0 if levels.is_silent else round(levels.first / rate, 4),
        "trail_s": 0.0 if levels.is_silent else round((levels.moments - 1 - levels.last) / rate, 4),
        "lufs": None if loudness.lufs is None else round(loudness.lufs, 2),
        "how": loudness.how,
    }
