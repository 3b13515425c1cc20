"""How a sound is heard: peak, clipping, silence, loudness, whatever holds it."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

from builds.sounds.audit.heard import listen
from builds.sounds.audit.kinds import kind_of
from builds.sounds.audit.samples import BLOCK
from tests.sounds.making import as_float, sine, wave


def heard(tmp_path: Path, content: bytes) -> dict[str, Any]:
    path = tmp_path / "sound"
    path.write_bytes(content)
    return listen(path)


def test_peak_and_loudness(tmp_path: Path) -> None:
    found = heard(tmp_path, wave(sine(-6.0, hertz=997)))
    assert found["peak_db"] == pytest.approx(-6.0, abs=0.01)
    assert found["lufs"] == pytest.approx(-9.01, abs=0.05)
    assert (found["how"], found["clips"], found["is_silent"]) == ("gated", 0, False)


def test_short_sound_says_how_it_was_measured(tmp_path: Path) -> None:
    found = heard(tmp_path, wave(sine(-20.0, seconds=0.3)))
    assert found["how"] == "whole"
    assert found["lufs"] == pytest.approx(-23.3, abs=0.8)


def test_clipping_counts_runs_at_full_scale(tmp_path: Path) -> None:
    loud = np.clip(sine(6.0, seconds=0.1, hertz=100), -1, 1)
    found = heard(tmp_path, wave(loud))
    assert found["clips"] == 20  # ten waves, top and bottom
    assert found["longest_clip"] > 100


def test_one_sample_at_full_scale_is_no_clip(tmp_path: Path) -> None:
    samples = sine(-20.0)
    samples[500] = 1.0
    assert heard(tmp_path, wave(samples))["clips"] == 0


def test_run_over_the_border_of_a_block_is_one(tmp_path: Path) -> None:
    samples = sine(-20.0, seconds=3)
    samples[BLOCK - 6 : BLOCK + 9] = 1.0
    found = heard(tmp_path, wave(samples))
    assert (found["clips"], found["longest_clip"]) == (1, 15)


def test_silence_at_both_ends(tmp_path: Path) -> None:
    still = np.zeros(44_100)
    found = heard(tmp_path, wave(np.concatenate((still[:22_050], sine(), still, still))))
    assert found["lead_s"] == pytest.approx(0.5, abs=0.01)
    assert found["trail_s"] == pytest.approx(2.0, abs=0.01)


def test_silence_altogether(tmp_path: Path) -> None:
    found = heard(tmp_path, wave(np.zeros(44_100)))
    assert found["is_silent"]
    assert (found["peak_db"], found["lufs"], found["how"]) == (None, None, "none")


def test_floating_point_that_is_no_number_is_loud_and_no_crash(tmp_path: Path) -> None:
    samples = sine()
    samples[10:14] = np.nan
    assert heard(tmp_path, as_float(samples))["clips"] == 1


@pytest.mark.parametrize(("kind", "subtype"), [("FLAC", "PCM_16"), ("OGG", "VORBIS"),
                                               ("MP3", "MPEG_LAYER_III"), ("AIFF", "PCM_24"),
                                               ("WAV", "ULAW"), ("WAV", "PCM_U8"),
                                               ("WAV", "PCM_24"), ("WAV", "DOUBLE")])  # fmt: skip
def test_other_kinds_are_heard_alike(tmp_path: Path, kind: str, subtype: str) -> None:
    path = tmp_path / "sound"
    soundfile.write(path, sine(-12.0, hertz=997), 44_100, subtype, format=kind)
    found = listen(path)
    assert found["lufs"] == pytest.approx(-15.0, abs=0.3)
    assert found["seconds"] == pytest.approx(1.0, abs=0.1)


@pytest.mark.parametrize(
    ("head", "kind"),
    [(b"", "empty"), (b"PK\x03\x04", "zip"), (b"hello there", "text"), (b"\0\1\2\3", "other"),
     (b"\x89PNG\r\n", "picture"), (b"ID3\x04", "mp3"), (b"\xff\xfb\x90\x00", "mp3")],
)  # fmt: skip
def test_kind_is_told_by_the_bytes(head: bytes, kind: str) -> None:
    assert kind_of(head) == kind
